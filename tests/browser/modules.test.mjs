// The core comes twice: a first module, soon, and the whole one when the page is at work. Other parts come with a tap.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { kept, open, serve, siteDir } from './lib.mjs';
import { at, drawn, enter, hear, inPlans, ready, shop, strip, ticket, whole } from './ticket.mjs';

let here;
before(async () => { here = await shop('/work/'); });
after(() => here.stop());

const PLAN = {
  format: 1, part: { area_m2: 0.62, flow_length_mm: 420 }, route: 'infusion',
  stack: [{ fabric: 'flax_twill_300', count: 4, angle_deg: 0 }], resin: 'infusion_epoxy_slow',
};

/** The sheet that the page's own core gives now. */
const sheetNow = (page, plan = PLAN) => page.evaluate(async (given) => {
  const { core } = await import(new URL('core.js', document.baseURI));
  return core.sheet(given, null).sheet;
}, plan);

/** How often each file was asked for. */
function counts(asked) {
  const found = new Map();
  for (const path of asked) found.set(path, (found.get(path) ?? 0) + 1);
  return found;
}

test('a first visit works with the first core alone; when the whole one can be had it comes, and nothing typed is lost', async () => {
  const { context, page, complaints } = await open(here.chromium, { url: 'about:blank', serviceWorkers: 'block' });
  await page.route('**/whole/**', (route) => route.abort());
  await page.goto(here.url);
  await ready(page);
  await page.locator('html[data-core="first"]').waitFor();
  assert.equal((await strip(page)).plies, '4');
  assert.equal((await sheetNow(page)).suit, null);
  await enter(page, 'part.area_m2', '0,9');
  await enter(page, 'dry.oven_c', '60 maybe');
  const before = await strip(page);
  await at(page, 'part.area_m2').focus();
  assert.ok(complaints.every((line) => /Failed to load resource|ERR_FAILED/.test(line)), complaints.join(' '));

  await page.unroute('**/whole/**');
  await page.evaluate(() => { dispatchEvent(new Event('online')); });
  await whole(page);
  assert.notEqual((await sheetNow(page)).suit, null);
  assert.deepEqual(await strip(page), before);
  assert.equal(await at(page, 'part.area_m2').inputValue(), '0,9');
  assert.equal(await at(page, 'dry.oven_c').inputValue(), '60 maybe');
  assert.equal(await at(page, 'part.area_m2').evaluate((input) => input === document.activeElement), true, 'the focus stays');
  await context.close();
});

test('the sheet of the first core is that of the whole one but for suit, strength, loads, and what heat and vessel do to the resin', async () => {
  const { context, page } = await ticket(here);
  const plan = JSON.parse(await readFile(join(siteDir, 'examples/stall_counter.json'), 'utf8'));
  const { first, all } = await page.evaluate(async (given) => {
    const one = await import(new URL('bastwork-wasm.js', document.baseURI));
    const other = await import(new URL('whole/bastwork-wasm.js', document.baseURI));
    await Promise.all([one.default(), other.default()]);
    return { first: one.sheet(given, null).sheet, all: other.sheet(given, null).sheet };
  }, plan);
  assert.notEqual(all.suit, null);
  assert.deepEqual(Object.keys(first), Object.keys(all), 'every field is there');
  assert.equal(first.suit, null);
  for (const stage of ['dry', 'trim']) {
    assert.equal(first[stage].head.answer, all[stage].head.answer);
    for (const [name, figure] of Object.entries(first[stage])) if (figure?.shown) assert.deepEqual(figure.shown, all[stage][name].shown, `${stage}.${name}`);
  }
  assert.deepEqual(first.fill.time_min.shown, all.fill.time_min.shown);
  // The whole one follows heat through the part, which ends the fill, and the vessel in hand: what the first says of them is near, and no figure is missing.
  for (const stage of ['mix', 'fill', 'cure']) {
    for (const [name, figure] of Object.entries(first[stage]).filter(([, one]) => one?.shown)) {
      const deeper = all[stage][name];
      assert.ok(Math.abs(figure.likely - deeper.likely) <= 0.15 * Math.abs(deeper.likely), `${stage}.${name}: ${figure.likely} ${deeper.likely}`);
      assert.ok(figure.likely >= deeper.low && figure.likely <= deeper.high, `${stage}.${name}: within what the whole one says`);
    }
  }
  const still = ({ strip }) => strip.filter(({ stage }) => stage !== 'cure');
  assert.deepEqual(still(first), still(all));
  assert.deepEqual(first.strip.map(({ label }) => label), all.strip.map(({ label }) => label));
  await context.close();
});

test('with a worker each later file is fetched once; a second visit takes the whole core at once and not the first, a third without a network', async () => {
  const server = await serve(undefined, '/deep/');
  const { context, page, complaints } = await open(here.chromium, { url: server.url });
  await ready(page);
  await whole(page);
  await kept(page);
  const first = counts(server.asked);
  for (const name of ['whole/bastwork-wasm.js', 'whole/bastwork-wasm_bg.wasm', 'paper.js', 'plans.js', 'files.js', 'materials.js', 'aside.js', 'aside-worker.js', 'bast-work.js', 'examples/hive_roof.json']) {
    assert.equal(first.get(`/deep/${name}`), 1, name);
  }

  const wanted = [];
  context.on('request', (request) => { if (request.serviceWorker() === null) wanted.push(new URL(request.url()).pathname.slice('/deep/'.length)); });
  await page.reload();
  await ready(page);
  await whole(page);
  assert.ok(wanted.includes('whole/bastwork-wasm_bg.wasm'), wanted.join(' '));
  assert.deepEqual(wanted.filter((path) => path.startsWith('bastwork-wasm')), [], 'the first core is left alone');
  assert.equal(wanted.filter((path) => path === 'whole/bastwork-wasm_bg.wasm').length, 1);

  await server.stop();
  await page.reload();
  await ready(page);
  await whole(page);
  assert.notEqual((await sheetNow(page)).suit, null);
  await page.getByRole('button', { name: 'Your own cloth' }).click();
  await page.getByRole('button', { name: 'Put away' }).click();
  await inPlans(page, 'Paddle blade');
  await page.waitForFunction(() => document.title.startsWith('Punt paddle blade'));
  await page.waitForFunction(() => document.querySelector('#paper h1')?.textContent === 'Punt paddle blade');
  const aside = await page.evaluate(async (plan) => {
    const { ask } = await import(new URL('aside.js', document.baseURI));
    return (await ask('sheet', plan, null)).sheet.strip.length;
  }, PLAN);
  assert.equal(aside, 6);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('a whole core that did not come is fetched on the next visit', async () => {
  const server = await serve(undefined, '/again/');
  const { context, page } = await open(here.chromium, { url: 'about:blank' });
  await context.route('**/whole/*.wasm', (route) => route.abort());
  await page.goto(server.url);
  await ready(page);
  await page.locator('html[data-core="first"]').waitFor();
  assert.equal((await strip(page)).plies, '4');
  await context.unroute('**/whole/*.wasm');
  await page.reload();
  await ready(page);
  await whole(page);
  assert.notEqual((await sheetNow(page)).suit, null);
  await context.close();
  await server.stop();
});

test('a tap on a part that is not here says so, and works once it is', async () => {
  const { context, page } = await open(here.chromium, { url: 'about:blank', serviceWorkers: 'block' });
  await page.route(/\/(materials|plans)\.js/, (route) => route.abort());
  await page.goto(here.url);
  await ready(page);
  await page.getByRole('button', { name: 'Plans' }).click();
  await hear(page, 'not on this device yet');
  await page.getByRole('button', { name: 'Your own cloth' }).click();
  assert.equal(await page.locator('#plans').isVisible(), false);
  await page.unroute(/\/(materials|plans)\.js/);
  await page.getByRole('button', { name: 'Plans' }).click();
  await page.locator('#plans').getByRole('button', { name: 'New plan' }).waitFor();
  await page.getByRole('button', { name: 'Your own cloth' }).click();
  await page.getByRole('button', { name: 'Put away' }).waitFor();
  await context.close();
});

test('a question aside is answered by a worker as the core here would, the newest wins, and one that cannot be asked is refused', async () => {
  const { context, page, complaints } = await ticket(here);
  const found = await page.evaluate(async (plan) => {
    const [{ ask, stop }, { core }] = await Promise.all([import(new URL('aside.js', document.baseURI)), import(new URL('core.js', document.baseURI))]);
    const areas = [0.3, 0.4, 0.5, 0.6];
    const asked = areas.map((area) => ask('sheet', { ...plan, part: { ...plan.part, area_m2: area } }, null));
    const answers = await Promise.all(asked);
    const same = JSON.stringify(answers[3]) === JSON.stringify(core.sheet({ ...plan, part: { ...plan.part, area_m2: 0.6 } }, null));
    const again = await ask('sheet', plan, null);
    const refused = await ask('no_such_verb').then(() => '', (cause) => String(cause));
    const after_ = await ask('sheet', plan, null);
    const ended = ask('sheet', plan, null);
    stop();
    return { nulls: answers.map((one) => one === null), same, again: again.sheet.strip.length, refused, after: after_.sheet.strip.length, ended: await ended };
  }, PLAN);
  assert.deepEqual(found.nulls, [true, true, true, false]);
  assert.equal(found.same, true);
  assert.equal(found.again, 6);
  assert.match(found.refused, /not a function/);
  assert.equal(found.after, 6);
  assert.equal(found.ended, null);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('where workers cannot start, the question is answered all the same', async () => {
  const { context, page } = await ticket(here, { before: () => { globalThis.Worker = class { constructor() { throw new Error('none'); } }; } });
  const length = await page.evaluate(async (plan) => (await (await import(new URL('aside.js', document.baseURI))).ask('sheet', plan, null)).sheet.strip.length, PLAN);
  assert.equal(length, 6);
  await drawn(page);
  await context.close();
});

test('a handout of the drying step loads the first core only, one of the stack the whole one', async () => {
  for (const [stage, wanted, other] of [['dry', '/work/bastwork-wasm_bg.wasm', '/work/whole/bastwork-wasm_bg.wasm'], ['stack', '/work/whole/bastwork-wasm_bg.wasm', '/work/bastwork-wasm_bg.wasm']]) {
    const { context, page } = await open(here.chromium, { url: 'about:blank', serviceWorkers: 'block' });
    const asked = [];
    page.on('request', (request) => asked.push(new URL(request.url()).pathname));
    await page.goto(`${here.url}frame.html?stage=${stage}`);
    await page.waitForFunction(() => /\d/.test(document.querySelector('bast-work')?.shadowRoot?.querySelector('.answer')?.textContent ?? ''));
    assert.ok(asked.includes(wanted), stage);
    assert.ok(!asked.includes(other), stage);
    await context.close();
  }
});
