// The core is one module, for the page and its workers; some parts of the page come with a tap.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { kept, open, serve } from './lib.mjs';
import { at, drawn, hear, inPlans, keptPlan, ready, shop, strip, ticket, whole } from './ticket.mjs';

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

test('a figure on screen is the one from before, marked, or the new one: never anything between', async () => {
  const { context, page } = await ticket(here);
  const before = await strip(page);
  const seen = await page.evaluate(async () => {
    const input = document.getElementById('at-part-area_m2');
    const texts = () => JSON.stringify([...document.querySelectorAll('#strip .text')].map((one) => one.textContent));
    const out = [];
    const look = () => { const at = [document.documentElement.dataset.sheet, texts()]; if (String(out.at(-1)) !== String(at)) out.push(at); };
    look();
    for (const text of ['0', '0.', '0.9', '0.93']) {
      input.value = text;
      input.dispatchEvent(new Event('input', { bubbles: true }));
      for (let frame = 0; frame < 4; frame += 1) {
        await new Promise((done) => { requestAnimationFrame(done); });
        look();
      }
    }
    while (document.documentElement.dataset.sheet !== 'all') { await new Promise((done) => { requestAnimationFrame(done); }); look(); }
    look();
    return out;
  });
  await drawn(page);
  const after_ = await strip(page);
  assert.notDeepEqual(after_, before);
  assert.ok(seen.some(([how]) => how === 'waiting'));
  // What was typed on the way may have been worked out too: each is the true answer to one of the texts.
  const wanted = new Set([JSON.stringify(Object.values(before))]);
  for (const area of [0.9, 0.93]) wanted.add(JSON.stringify((await sheetNow(page, { ...(await keptPlan(page)), part: { area_m2: area, flow_length_mm: 420 } })).strip.map(({ text }) => text)));
  for (const [, texts] of seen) assert.ok(wanted.has(texts), texts);
  await context.close();
});

test('where an answer takes long, the page says so, goes on, and takes the newest', async () => {
  const { context, page } = await ticket(here, { before: () => {
    const post = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function later(/** @type {any[]} */ ...given) { setTimeout(() => post.apply(this, given), given[0]?.[0] === 'sheet' && globalThis.slow ? 3000 : 0); };
  } });
  await page.evaluate(() => { globalThis.slow = true; });
  await at(page, 'part.area_m2').fill('0.9');
  await page.locator('#working:not([hidden])').waitFor();
  assert.equal(await at(page, 'part.area_m2').inputValue(), '0.9');
  await at(page, 'part.area_m2').fill('1.1');
  await drawn(page);
  assert.equal(await page.locator('#working').isHidden(), true);
  const sheet = await sheetNow(page, { ...(await keptPlan(page)) });
  assert.deepEqual(Object.values(await strip(page)), sheet.strip.map(({ text }) => text));
  await context.close();
});

test('with a worker each file is fetched once, a second visit takes the core once, a third works without a network', async () => {
  const server = await serve(undefined, '/deep/');
  const { context, page, complaints } = await open(here.chromium, { url: server.url });
  await ready(page);
  await whole(page);
  await kept(page);
  const first = counts(server.asked);
  for (const name of ['bastwork-wasm_bg.bin', 'main.js', 'paper.js', 'plans.js', 'files.js', 'materials.js', 'aside.js', 'aside-worker.js', 'bast-work.js', 'examples/hive_roof.json']) {
    assert.equal(first.get(`/deep/${name}`), 1, name);
  }

  const wanted = [];
  context.on('request', (request) => { if (request.serviceWorker() === null) wanted.push(new URL(request.url()).pathname.slice('/deep/'.length)); });
  await page.reload();
  await ready(page);
  await whole(page);
  assert.equal(wanted.filter((path) => path === 'bastwork-wasm_bg.bin').length, 1);

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
  const length = await page.evaluate(async (plan) => {
    const { aside } = await import(new URL('aside.js', document.baseURI));
    return (await aside().ask('sheet', plan, null)).sheet.strip.length;
  }, PLAN);
  assert.equal(length, 6);
  assert.deepEqual(complaints, []);
  await context.close();
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
    const [{ aside }, { core }] = await Promise.all([import(new URL('aside.js', document.baseURI)), import(new URL('core.js', document.baseURI))]);
    const { ask, stop } = aside();
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
  const length = await page.evaluate(async (plan) => (await (await import(new URL('aside.js', document.baseURI))).aside().ask('sheet', plan, null)).sheet.strip.length, PLAN);
  assert.equal(length, 6);
  await drawn(page);
  await context.close();
});
