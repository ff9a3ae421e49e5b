// How long the module takes for one sheet in desktop Chromium, and what a first visit downloads. Run: node tests/browser/bench.mjs
import { readFile, readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { siteDir } from './lib.mjs';
import { ready, shop, ticket } from './ticket.mjs';

const RUNS = 200;
const desktop = { viewport: { width: 1280, height: 900 }, deviceScaleFactor: 1, hasTouch: false, isMobile: false };

/** Times `sheet()` and a fixed piece of plain JavaScript turn by turn, so that a slower machine slows both. */
async function times(page, plan) {
  return page.evaluate(async ([document_, runs]) => {
    const core = await import(new URL('bastwork-wasm.js', document.baseURI));
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
    const sheet = () => { if (!core.sheet(document_, null).sheet) throw new Error('no sheet'); };
    const found = { sheet: [], yardstick: [] };
    for (let run = -20; run < runs; run += 1) {
      const [worked, walked] = [measured(sheet), measured(yardstick)];
      if (run >= 0) { found.sheet.push(worked); found.yardstick.push(walked); }
      if (run % 20 === 0) await new Promise((done) => { setTimeout(done); });
    }
    return { ...found, kept };
  }, [plan, RUNS]);
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
  await page.waitForLoadState('networkidle');
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
  const plan = JSON.parse(await readFile(join(siteDir, 'examples/hive_roof.json'), 'utf8'));
  const { context, page } = await ticket(here, desktop);
  const found = await times(page, plan);
  await context.close();
  const [sheet, yardstick] = [summary(found.sheet), summary(found.yardstick)];
  const line = (name, { median, p95, worst }) => console.log(`${name.padEnd(34)} median ${median.toFixed(2)}  p95 ${p95.toFixed(2)}  worst ${worst.toFixed(2)}`);
  line(`sheet of the hive roof, ${RUNS} runs, ms`, sheet);
  line('fixed JavaScript, same run, ms', yardstick);
  line('sheet / fixed JavaScript', { median: sheet.median / yardstick.median, p95: sheet.p95 / yardstick.median, worst: sheet.worst / yardstick.median });
  const { files, shown, all } = await weights(here);
  console.log(`first load, gzip -9: ${shown} bytes in ${files} files until the ticket stands; ${all} bytes with all that is kept for use without a network`);
} finally {
  await here.stop();
}
