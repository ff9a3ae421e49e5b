// Everything comes in through one door: values of another kind by link, file, store and other tab; rotten entries of a backup; a fetch that
// fails, a tab that is killed, a build that is replaced in the middle of a visit.
import assert from 'node:assert/strict';
import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { kept, open, serve, siteDir } from './lib.mjs';
import { at, drawn, enter, give, hear, inPlans, keptPlan, ready, shop, strip, ticket, worksOn } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

const roof = { format: 1, id: 'roof', name: 'Roof', part: { area_m2: 0.5, flow_length_mm: 400 }, route: 'infusion', stack: [{ fabric: 'flax_twill_300', count: 2, angle_deg: 0 }], resin: 'infusion_epoxy_slow' };
const full = {
  ...roof, note: 'for hive 7',
  part: { ...roof.part, shape: { form: 'outline', points_mm: [[0, 0], [500, 0], [500, 400], [0, 400]] } },
  bag: { test: [{ min: 0, reading: 20 }, { min: 5, reading: 24 }] }, dry: { weighings: [{ min: 0, g: 900 }] },
  fill: { lines: [{ does: 'feed', points_mm: [[0, 0], [0, 400]] }], zones: [{ lies: 'mesh', points_mm: [[200, 0], [300, 0], [300, 100]] }], front: [{ min: 4, mm: 120 }] },
  day: { start: '2026-05-01T08:00', began: { fill: '2026-05-01T09:00' } }, stamps: { 'bag.test': '2026-05-01T08:00:00Z' },
};
const hash = (plan) => `#0${Buffer.from(typeof plan === 'string' ? plan : JSON.stringify(plan)).toString('base64url')}`;
const problems = (page) => page.locator('#problems li').allTextContents();
const stored = (page) => page.evaluate(() => Object.values({ ...localStorage }).join('\n'));

test('one rotten entry of a backup is set aside and told; the rest comes in, and it can be exported and deleted', async () => {
  const { context, page, complaints } = await ticket(here);
  const own = {
    format: 1, fabrics: { a: null, sail: { name: 'Sail', fibre: 'hemp', architecture: 'plain', areal_mass_g_m2: 400 } },
    resins: { can: { name: 'Can', hardener_per_100: 'lots' } }, tools: 'none', stock: { flax_twill_300: { price: 18 }, odd: 'x' },
    learned: { drying_factor: 99, moisture_scale: 0.66, cloths: { flax_twill_300: { permeability_m2: 5e-11 }, b: 7 } },
  };
  await give(page, 'shop.json', { bastwork: 1, plans: [roof, 7, { ...full, id: 'full', name: 'Full' }], own });
  await hear(page, /"a" of your own shelf cannot be read and is set aside/);
  await hear(page, /"Roof" and "Full" came in/);
  assert.equal(await at(page, 'name').inputValue(), 'Roof');
  await drawn(page);
  assert.deepEqual(await problems(page), []);
  assert.match(await at(page, 'stack.0.fabric').textContent(), /Sail/, 'the good cloth is on the shelf');
  await worksOn(page);
  const list = page.locator('#plans details', { hasText: 'Set aside' });
  await list.locator('summary').click();
  const names = await list.locator('li .name').allTextContents();
  assert.deepEqual(names.sort(), ['From a file', 'Own shelf: Can', 'Own shelf: a', 'Own shelf: b', 'Own shelf: drying_factor', 'Own shelf: odd', 'Own shelf: tools'].sort());
  const [file] = await Promise.all([page.waitForEvent('download'), list.getByRole('button', { name: 'Export what was set aside: Own shelf: Can' }).click()]);
  assert.deepEqual(JSON.parse(await readFile(await file.path(), 'utf8')).own.resins, { can: own.resins.can });
  await list.getByRole('button', { name: 'Delete what was set aside: Own shelf: a' }).click();
  assert.equal(await list.locator('li').count(), names.length - 1);
  await page.locator('#say').getByRole('button', { name: 'Undo' }).click();
  assert.equal(await list.locator('li').count(), names.length);
  await page.reload();
  await ready(page);
  assert.equal(await page.locator('#standing .said').count(), 0, 'told once');
  assert.deepEqual(complaints, []);

  // The same in what is kept here already: an older page took it in.
  await page.evaluate(() => {
    const held = JSON.parse(localStorage['bastwork.own']);
    held.own.fabrics.old = null;
    localStorage['bastwork.own'] = JSON.stringify(held);
  });
  await page.reload();
  await ready(page);
  await hear(page, /"old" of your own shelf cannot be read/);
  await worksOn(page);
  assert.deepEqual(await problems(page), []);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('values of another kind, by link, file, store and other tab: the plan opens, each is told, and can be left out', async () => {
  const slips = [
    ['fill.lines', true], ['fill.lines', {}], ['fill.lines', [null]], ['fill.lines', [{ points_mm: 'x' }]], ['fill.zones', 7], ['fill.front', [[]]],
    ['name', { toString: 1 }], ['name', ['x']], ['note', { a: 1 }], ['stack', 'flax'], ['stack', [null]], ['stack', [[1]]], ['stack', { 0: 1 }],
    ['part', []], ['part.shape', 'disc'], ['part.area_m2', [1]], ['resin', [['x']]], ['bag', 'tight'], ['bag.test', 'x'], ['bag.test', [7, { min: [], reading: {} }]],
    ['stamps', 'now'], ['stamps', { 'bag.test': {} }], ['day', true], ['day.began', [1]], ['day.start', {}], ['units', ['us']], ['trim', null], ['fill', ''],
    ['dry.weighings', [null, null]], ['route', {}], ['room', [[[[[[[[1]]]]]]]]], ['astray', 'x'], ['astray', [null, ['fill.lines.0', 1]]],
  ];
  const { context, page, complaints } = await ticket(here);
  let told = 0;
  for (const [n, [path, value]] of slips.entries()) {
    const plan = structuredClone({ ...full, id: `slip${n}` });
    const way = path.split('.');
    const last = way.pop();
    way.reduce((place, step) => place[step], plan)[last] = value;
    const by = ['link', 'file', 'store'][n % 3];
    // Something here that only this plan has tells that it came.
    plan.room = path === 'room' ? value : { temperature_c: 10 + n / 10 };
    if (by === 'link') await page.evaluate((to) => { location.hash = to; }, hash(plan));
    if (by === 'file') await give(page, 'plan.json', plan);
    if (by === 'store') {
      await page.evaluate((one) => {
        localStorage.setItem(`bastwork.plan.${one.id}`, JSON.stringify({ version: 1, saved: '', plan: one }));
        sessionStorage.setItem('bastwork.bench', one.id);
      }, plan);
      await page.reload();
      await ready(page);
    }
    const name = `${path} = ${JSON.stringify(value)} by ${by}`;
    if (path !== 'room') await page.waitForFunction((wanted) => document.getElementById('at-room-temperature_c').value === wanted, String(plan.room.temperature_c)).catch(() => assert.fail(`${name} did not open`));
    await page.locator('html[data-core="ready"]').waitFor();
    await drawn(page);
    assert.deepEqual(complaints, [], name);
    const some = await problems(page);
    told += some.length;
    // What was there is kept.
    if (value !== null && value !== '') assert.ok((await page.evaluate((wanted) => { dispatchEvent(new Event('pagehide')); return Object.values({ ...localStorage }).some((text) => text.includes(wanted)); }, JSON.stringify(value).slice(1, -1) || JSON.stringify(value))), `${name} is kept`);
    for (let left = 0; left < 4 && await page.locator('#problems').getByRole('button', { name: 'Leave it out' }).count() > 0; left += 1) {
      await page.locator('#problems').getByRole('button', { name: 'Leave it out' }).first().click();
      await drawn(page);
    }
    assert.equal(await page.locator('#problems').getByRole('button', { name: 'Leave it out' }).count(), 0, name);
    // The board and the logs of what is left can be opened.
    if (n % 3 === 0) await page.evaluate(() => { document.querySelectorAll('main details').forEach((one) => { one.open = true; }); });
    await drawn(page);
    assert.deepEqual(complaints, [], name);
  }
  assert.ok(told > 20, `${told} sentences`);
  // Another tab writes something of another kind into the plan on the bench.
  const other = await context.newPage();
  await other.goto(here.url);
  await ready(other);
  const id = await other.evaluate(() => sessionStorage.getItem('bastwork.bench'));
  await page.evaluate(([key, plan]) => { sessionStorage.setItem('bastwork.bench', key); localStorage.setItem(`bastwork.plan.${key}`, JSON.stringify({ version: 1, saved: '', plan: { ...plan, id: key, fill: { lines: true }, name: { a: 1 } } })); }, [id, full]);
  await hear(other, /changed in another tab/);
  await drawn(other);
  assert.equal((await problems(other)).length, 2);
  await context.close();
});

test('a seeded row of plans with values of another kind goes through the door of the page', async (t) => {
  const { context, page, complaints } = await ticket(here);
  let seed = 14;
  const next = (below) => { seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0; return Math.floor((seed / 2 ** 32) * below); };
  const odd = [true, 7, 'x', '', null, {}, [], [null], [[]], [{}], { likely: [] }, { toString: 1 }, 'NaN', '1e999', -1e300, [[[[[[]]]]]], '9'.repeat(500)];
  const places = (value, way = []) => (typeof value === 'object' && value !== null
    ? [...(way.length ? [way] : []), ...Object.entries(value).flatMap(([key, part]) => places(part, [...way, key]))] : [way]);
  const TRIED = 60;
  for (let n = 0; n < TRIED; n += 1) {
    const plan = structuredClone(full);
    for (let slips = 1 + next(4); slips > 0; slips -= 1) {
      const all = places(plan);
      const way = [...all[next(all.length)]];
      const last = way.pop();
      way.reduce((place, step) => place[step], plan)[last] = odd[next(odd.length)];
    }
    plan.format = 1;
    if (!Array.isArray(plan.stack)) plan.part = typeof plan.part === 'object' && plan.part && !Array.isArray(plan.part) ? plan.part : {};
    plan.trim = { kerf_mm: n };
    await page.evaluate(async (to) => {
      location.hash = to;
      for (let look = 0; look < 400 && location.hash; look += 1) await new Promise((done) => { setTimeout(done, 5); });
      await new Promise((done) => { requestAnimationFrame(() => setTimeout(done)); });
    }, hash(plan));
    assert.equal(new URL(page.url()).hash, '', JSON.stringify(plan));
    assert.deepEqual(complaints, [], JSON.stringify(plan));
    assert.ok((await problems(page)).every((sentence) => sentence.length < 400), JSON.stringify(plan));
  }
  await page.evaluate((to) => { location.hash = to; }, hash({ ...roof, name: 'After all that' }));
  await page.waitForFunction(() => document.title.startsWith('After all that'));
  await worksOn(page);
  t.diagnostic(`plans of another kind through the page: ${TRIED} tried, 0 failed`);
  await context.close();
});

test('a file that cannot be fetched takes nothing of what was typed', async (t) => {
  const { context, page } = await open(here.chromium, { url: here.url, serviceWorkers: 'block' });
  await ready(page);
  await enter(page, 'name', 'Typed before');
  await keptPlan(page);
  here.server.asked.length = 0;
  await page.reload();
  await page.locator('html[data-core="ready"]').waitFor();
  await page.waitForTimeout(300);
  const asked = [...new Set(here.server.asked)].filter((path) => /\.(js|css|wasm)$/.test(path));
  const wrong = [];
  // Every third, and the core: each takes a visit.
  const some = asked.filter((path, n) => n % 3 === 0 || path.endsWith('.bin'));
  for (const path of some) {
    await page.route(`**${path}`, (route) => route.abort());
    await page.goto(here.url, { waitUntil: 'load' });
    // Where the page comes up all the same, it takes what is typed.
    const up = await page.locator('#ticket:not([hidden])').waitFor({ timeout: 700 }).then(() => true, () => false);
    if (up) {
      await at(page, 'note').fill(`typed without ${path}`);
      await page.evaluate(() => dispatchEvent(new Event('pagehide')));
    }
    const text = await stored(page);
    if (!text.includes('Typed before') || (up && !text.includes(`typed without ${path}`))) wrong.push(path);
    await page.unroute(`**${path}`);
  }
  await page.goto(here.url);
  await ready(page);
  assert.equal(await at(page, 'name').inputValue(), 'Typed before');
  t.diagnostic(`fetches that fail: ${some.length} of ${asked.length} tried, ${wrong.length} failed`);
  assert.ok(asked.length > 30);
  assert.deepEqual(wrong, []);
  await context.close();
});

test('a tab that is killed between two entries has lost nothing', async (t) => {
  const { context, page: first } = await open(here.chromium, { url: here.url, serviceWorkers: 'block' });
  let page = first;
  await ready(page);
  const steps = [
    () => enter(page, 'name', 'Killed 1'), () => enter(page, 'part.area_m2', '0,81'), () => enter(page, 'note', 'Killed 2'),
    async () => { await inPlans(page, 'Copy this plan'); await enter(page, 'name', 'Killed 3'); },
    async () => { await inPlans(page, 'New plan'); await enter(page, 'name', 'Killed 4'); },
  ];
  const wanted = [];
  for (const [n, step] of steps.entries()) {
    await step();
    // Leaving the entry writes it down.
    await page.evaluate(() => document.activeElement?.blur());
    wanted.push(['"Killed 1"', '"area_m2":0.81', '"Killed 2"', '"Killed 3"', '"Killed 4"'][n]);
    const next = await context.newPage();
    const session = await context.newCDPSession(page);
    session.send('Page.crash').catch(() => {});
    await page.waitForEvent('crash');
    await page.close().catch(() => {});
    page = next;
    await page.goto(here.url);
    await ready(page);
    const text = await stored(page);
    // The name of the plan that was copied went on to the copy.
    for (const mark of wanted) assert.ok(text.includes(mark.replaceAll('"', '')) || text.includes(mark.replaceAll('"', '\\"')) || text.includes(mark), `${mark} after kill ${n + 1}`);
  }
  t.diagnostic(`tabs killed: ${steps.length} tried, 0 failed`);
  await context.close();
});

test('a build that is replaced in the middle of a visit, and files that the browser evicts, take nothing of what was typed', async (t) => {
  const folder = await mkdtemp(join(tmpdir(), 'bastwork-'));
  await cp(siteDir, folder, { recursive: true });
  const server = await serve(folder);
  const { context, page } = await open(here.chromium, { url: server.url });
  await ready(page);
  await enter(page, 'name', 'Before the new build');
  await kept(page);
  // Every script and the list of files are others now; what is fetched late is of the new build.
  for (const file of ['plans.js', 'share.js', 'materials.js', 'sw.js']) await writeFile(join(folder, file), `${await readFile(join(folder, file), 'utf8')}\n// newer\n`);
  await enter(page, 'note', 'typed in between');
  await keptPlan(page);
  await page.evaluate(() => navigator.serviceWorker.getRegistration().then((one) => one.update()).catch(() => {}));
  await inPlans(page, 'Copy this plan');
  await enter(page, 'note', 'typed in the copy');
  await keptPlan(page);
  await page.reload();
  await ready(page);
  for (const mark of ['Before the new build', 'typed in between', 'typed in the copy']) assert.ok((await stored(page)).includes(mark), mark);

  const wrong = [];
  const files = await page.evaluate(async () => {
    const all = [];
    for (const name of await caches.keys()) for (const { url } of await (await caches.open(name)).keys()) all.push([name, url]);
    return all;
  });
  const some = files.filter((_, n) => n % 16 === 0);
  for (const [name, url] of some) {
    await page.evaluate(async ([cache, key]) => { await (await caches.open(cache)).delete(key); }, [name, url]);
    await page.reload();
    await ready(page).catch(() => {});
    if (await at(page, 'note').inputValue().catch(() => '') !== 'typed in the copy') wrong.push(url);
  }
  t.diagnostic(`kept files evicted: ${some.length} of ${files.length} tried, ${wrong.length} failed`);
  assert.deepEqual(wrong, []);
  await context.close();
  await server.stop();
  await rm(folder, { recursive: true });
});
