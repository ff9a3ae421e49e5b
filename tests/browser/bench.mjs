// How long the module takes for one sheet in desktop Chromium, and what a first visit downloads. Run: node tests/browser/bench.mjs
import { readFile, readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { siteDir } from './lib.mjs';
import { ready, shop, ticket } from './ticket.mjs';

const RUNS = 200;
const desktop = { viewport: { width: 1280, height: 900 }, deviceScaleFactor: 1, hasTouch: false, isMobile: false };

/** Times the module, the search and a fixed piece of plain JavaScript turn by turn, so that a slower machine slows all. */
async function times(page, plan, asked, logged) {
  return page.evaluate(async ([document_, question, withReadings, runs]) => {
    const { core, load } = await import(new URL('core.js', document.baseURI));
    await load();
    let kept = 0;
    const yardstick = () => {
      let sum = 0;
      for (let at = 1; at <= 1_000_000; at += 1) sum += Math.sqrt(at) * Math.exp(-at / 1_000_000) / (1 + (at % 7));
      kept += sum;
    };
    const measured = (work) => {
      const from = performance.now();
      work();
      return performance.now() - from;
    };
    const sheet = (given = document_) => () => { if (!core.sheet(given, null).sheet) throw new Error('no sheet'); };
    // The same plan without its readings, turn by turn, so that the difference is theirs.
    const without = { ...withReadings, bag: { ...withReadings.bag, test: undefined } };
    const found = { sheet: [], bare: [], logged: [], search: [], yardstick: [] };
    let candidates = 0;
    for (let run = -20; run < runs; run += 1) {
      const one = { sheet: measured(sheet()), bare: measured(sheet(without)), logged: measured(sheet(withReadings)), yardstick: measured(yardstick) };
      if (run >= 0) for (const name of Object.keys(one)) found[name].push(one[name]);
      if (run >= 0 && run % 20 === 0) found.search.push(measured(() => { candidates = core.work_back(question, null).back.candidates; }));
      if (run % 20 === 0) await new Promise((done) => { setTimeout(done); });
    }
    return { ...found, candidates, kept };
  }, [plan, asked, logged, RUNS]);
}

function summary(times_) {
  const sorted = times_.toSorted((one, other) => one - other);
  const part = (share) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
  return { median: part(0.5), p95: part(0.95), worst: sorted.at(-1) };
}

const weight = (bytes) => gzipSync(bytes, { level: 9 }).length;

/** What the ticket asks for until it stands, and everything that is then kept for use without a network. */
async function weights(here) {
  const bodies = [];
  const { context, page } = await ticket(here, desktop);
  page.on('response', (response) => bodies.push(response.body().then(weight)));
  await page.reload();
  await ready(page);
  const shown = await Promise.all(bodies);
  await context.close();
  let all = 0;
  for (const entry of await readdir(siteDir, { recursive: true, withFileTypes: true })) {
    if (entry.isFile()) all += weight(await readFile(join(entry.parentPath ?? entry.path, entry.name)));
  }
  return { files: shown.length, shown: shown.reduce((sum, one) => sum + one, 0), all };
}

const here = await shop();
try {
  const example = async (name) => JSON.parse(await readFile(join(siteDir, `examples/${name}.json`), 'utf8'));
  const { context, page } = await ticket(here, desktop);
  const roof = await example('hive_roof');
  // An hour of a slow leak over damp cloth, read every minute to half a millibar.
  const test = Array.from({ length: 60 }, (_, min) => ({ min, reading: Math.round(2 * (15 + 0.2 * min + 5 * (1 - Math.exp(-min / 6)))) / 2 }));
  const found = await times(page, roof, await example('hive_stand'), { ...roof, bag: { ...roof.bag, gauge_kind: 'mbar_absolute', gauge_step: 0.5, test } });
  await context.close();
  const yardstick = summary(found.yardstick);
  const line = (name, { median, p95, worst }) => console.log(`${name.padEnd(58)} median ${median.toFixed(2)}  p95 ${p95.toFixed(2)}  worst ${worst.toFixed(2)}`);
  const over = ({ median, p95, worst }) => ({ median: median / yardstick.median, p95: p95 / yardstick.median, worst: worst / yardstick.median });
  line('fixed JavaScript, ms', yardstick);
  for (const [name, what] of [['sheet', 'sheet of the hive roof'], ['logged', 'sheet with 60 readings of the gauge'], ['search', `search and tell ${found.candidates} stacks for the hive stand`]]) {
    const one = summary(found[name]);
    line(`${what}, ms`, one);
    line(`${what} / fixed JavaScript`, over(one));
  }
  const [bare, logged] = [summary(found.bare), summary(found.logged)];
  console.log(`60 readings: ${(logged.median - bare.median).toFixed(2)} ms more than without, ${((100 * (logged.median - bare.median)) / logged.median).toFixed(0)} % of that sheet`);
  const { files, shown, all } = await weights(here);
  console.log(`gzip -9: ${shown} bytes in ${files} files asked for until the ticket stands; ${all} bytes with all that is kept for use without a network`);
} finally {
  await here.stop();
}
