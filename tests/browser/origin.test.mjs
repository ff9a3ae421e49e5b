// No request ever leaves the origin, and the policy of every page would stop one; a long day at the page passes without a complaint.
import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { mkdtemp, readFile, readdir, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { after, before, test } from 'node:test';
import { kept, serve, siteDir } from './lib.mjs';
import { at, drawn, enter, give, inPlans, openAll, ready, shop, stages, strip, ticket } from './ticket.mjs';

let here;
before(async () => { here = await shop('/shop/'); });
after(() => here.stop());

test('a long day: every stage, material, plan, unit and page, with the service worker at work', async () => {
  const { context, page, complaints, away } = await ticket(here, { serviceWorkers: 'allow', permissions: ['clipboard-read', 'clipboard-write'] });
  await kept(page);
  for (const name of ['Hive roof', 'Paddle blade', 'Stall counter']) {
    await inPlans(page, name);
    await page.locator('#plans').waitFor({ state: 'hidden' });
    await openAll(page);
    for (const route of ['bagged_wet', 'open_wet', 'infusion']) await enter(page, 'route', route);
    for (const figure of await page.locator('.main-figure button.figure:visible').all()) await figure.click();
  }
  await enter(page, 'room.temperature_c', '24,5');
  await enter(page, 'bag.gauge_kind', 'inhg_below');
  await enter(page, 'bag.gauge_reading', '28');
  await enter(page, 'units', 'us');
  await enter(page, 'units', 'metric');
  for (const kind of ['cloth', 'core', 'resin', 'tool']) {
    await page.getByRole('button', { name: `Your own ${kind}` }).click();
    await page.getByRole('button', { name: 'Put away' }).click();
  }
  await page.locator('.now:visible').first().click();
  await inPlans(page, 'Copy this plan');
  await inPlans(page, 'Share as a link');
  await page.waitForFunction(() => document.getElementById('share-link').value.includes('#'));
  for (const name of ['Export this plan', 'Export everything', 'Hand on to another device']) {
    await Promise.all([page.waitForEvent('download'), inPlans(page, name)]);
  }
  await give(page, 'plan.json', '{"format":1,"name":"From a file","part":{"area_m2":0.5},"stack":[{"fabric":"flax_twill_300","count":2}],"resin":"infusion_epoxy_slow"}');
  await page.waitForFunction(() => document.title.startsWith('From a file'));
  await page.emulateMedia({ media: 'print' });
  await page.emulateMedia({ media: 'screen', colorScheme: 'dark' });
  await page.reload();
  await ready(page);
  assert.equal((await stages(page)).length, 9);
  assert.equal(await at(page, 'name').inputValue(), 'From a file');
  assert.equal((await strip(page)).plies, '2');
  for (const path of ['frame.html?stage=trim&open=trim.rpm', 'examples/handout.html', '']) {
    await page.goto(here.url + path);
    await page.waitForLoadState('networkidle');
    await drawn(page);
  }
  assert.deepEqual(complaints, []);
  assert.deepEqual(away, []);
  assert.ok(here.server.asked.length > 30);
  assert.deepEqual(here.server.asked.filter((path) => !path.startsWith('/shop/')), [], 'nothing outside its own folder');
  await context.close();
});

test('the policy of every page lets nothing in or out but its own files', async () => {
  const files = (await readdir(siteDir, { recursive: true })).filter((name) => name.endsWith('.html'));
  assert.ok(files.length >= 3);
  for (const name of files) {
    const html = await readFile(join(siteDir, name), 'utf8');
    const policy = /http-equiv="Content-Security-Policy" content="([^"]+)"/.exec(html)?.[1] ?? '';
    const rules = new Map(policy.split(';').map((rule) => rule.trim().split(/\s+/)).map(([key, ...values]) => [key, values]));
    assert.deepEqual(rules.get('default-src'), ["'none'"], name);
    // The one script that stands in a page itself is named by what it holds.
    const within = [...html.matchAll(/<script>([^]*?)<\/script>/g)].map(([, text]) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`);
    assert.equal(within.length, name === 'index.html' ? 1 : 0, name);
    assert.deepEqual(rules.get('script-src'), ["'self'", "'wasm-unsafe-eval'", ...within], name);
    assert.deepEqual([rules.get('connect-src'), rules.get('form-action'), rules.get('base-uri')], [["'self'"], ["'none'"], ["'none'"]], name);
    assert.deepEqual([...rules.values()].flat().filter((value) => !["'none'", "'self'", "'wasm-unsafe-eval'", 'data:', ...within].includes(value)), [], name);
    assert.doesNotMatch(html, /(?:src|href)="(?:https?:)?\/\//, `${name} names another origin`);
  }
});

test('every file that a page names is there, the home screen\'s icon among them', async () => {
  const named = [];
  for (const name of (await readdir(siteDir, { recursive: true })).filter((file) => file.endsWith('.html'))) {
    const html = await readFile(join(siteDir, name), 'utf8');
    const addresses = [...html.matchAll(/(?:src|href)="([^"#:?]+)/g)].map(([, address]) => join(dirname(name), address));
    for (const address of addresses) assert.ok((await stat(join(siteDir, address))).isFile(), `${name} names ${address}`);
    named.push(...addresses);
  }
  const { icons } = JSON.parse(await readFile(join(siteDir, 'manifest.webmanifest'), 'utf8'));
  for (const { src } of icons) assert.ok((await stat(join(siteDir, src))).isFile(), src);
  assert.match(await readFile(join(siteDir, 'index.html'), 'utf8'), /rel="apple-touch-icon" href="icons\/flower-180\.png"/);
  assert.ok(named.length > 10);
});

test('what tries to leave is stopped by the browser itself', async () => {
  const elsewhere = await serve();
  const { context, page, complaints } = await ticket(here);
  const refused = await page.evaluate(async (url) => {
    const blocked = [];
    addEventListener('securitypolicyviolation', (event) => blocked.push(event.effectiveDirective));
    await fetch(`${url}fetch`, { mode: 'no-cors' }).catch(() => {});
    navigator.sendBeacon?.(`${url}beacon`, 'x');
    await import(`${url}main.js`).catch(() => {});
    const put = (tag, more) => document.body.append(Object.assign(document.createElement(tag), more));
    put('img', { src: `${url}img` });
    put('link', { rel: 'stylesheet', href: `${url}style.css` });
    put('script', { src: `${url}main.js` });
    put('iframe', { src: `${url}frame.html` });
    await new Promise((done) => { setTimeout(done, 500); });
    return blocked;
  }, elsewhere.url);
  assert.deepEqual(elsewhere.asked, [], 'nothing arrived elsewhere');
  for (const kind of ['connect-src', 'img-src', 'style-src-elem', 'script-src-elem', 'frame-src']) assert.ok(refused.includes(kind), `${kind}: ${refused}`);
  assert.ok(complaints.length > 0, 'the browser says so, and the other tests would see it');
  await elsewhere.stop();
  await context.close();
});

/** Tries every way out that a context has, and tells how the ways ended. */
const leave = async (url) => {
  const ended = [];
  const way = async (name, go) => { await go().then(() => ended.push(`${name}: went`), () => ended.push(`${name}: refused`)); };
  await way('fetch', () => fetch(`${url}fetch`, { mode: 'no-cors' }));
  await way('import', () => import(`${url}main.js`));
  if (globalThis.importScripts) await way('importScripts', async () => globalThis.importScripts(`${url}main.js`));
  if (globalThis.XMLHttpRequest) {
    await way('xhr', () => new Promise((done, fail) => {
      const asked = new XMLHttpRequest();
      asked.open('GET', `${url}xhr`);
      [asked.onload, asked.onerror] = [done, fail];
      asked.send();
    }));
  }
  if (globalThis.WebSocket) {
    await way('socket', () => new Promise((done, fail) => {
      const socket = new WebSocket(`${url.replace('http', 'ws')}socket`);
      [socket.onopen, socket.onerror] = [done, fail];
    }));
  }
  return ended;
};

/** Opens what holds every context: the page at work with its two workers, the frame, the handout with a frame inside. */
async function everywhere(context, url) {
  const page = await context.newPage();
  await page.goto(url);
  await ready(page);
  await page.locator('html[data-core="ready"]').waitFor();
  await kept(page);
  await page.reload();
  await ready(page);
  await page.locator('html[data-core="ready"]').waitFor();
  // The two workers start as the page starts them: for a search, and for a drawing.
  const names = ['aside-worker.js', 'board-worker.js'];
  await page.evaluate((all) => { globalThis.held = all.map((name) => new Worker(new URL(name, document.baseURI), { type: 'module' })); }, names);
  await page.waitForFunction(() => globalThis.held.length === 2);
  const found = new Map([['page', page]]);
  for (const name of names) {
    const worker = () => page.workers().find((one) => one.url().endsWith(name));
    while (!worker()) await page.waitForEvent('worker');
    found.set(name, worker());
  }
  const frame = await context.newPage();
  await frame.goto(`${url}frame.html?stage=dry`);
  found.set('frame', frame);
  const handout = await context.newPage();
  await handout.goto(`${url}examples/handout.html`);
  await handout.waitForFunction(() => document.querySelector('iframe'));
  found.set('handout', handout);
  const inside = () => handout.frames().find((one) => one.url().includes('frame.html'));
  while (!inside()) await handout.waitForEvent('framenavigated');
  found.set('frame in the handout', inside());
  const [service] = context.serviceWorkers();
  found.set('service worker', service);
  return found;
}

for (const [host, headers] of [['a host that sends what the built page asks of it', true], ['a host that sends nothing', false]]) {
  test(`no context can leave its origin, served by ${host}`, async () => {
    const elsewhere = await serve();
    const server = await serve(undefined, '/shop/', { headers });
    const context = await here.chromium.newContext();
    const found = await everywhere(context, server.url);
    // Where a host sends nothing, the worker that keeps the files is alone without a policy; it gives one to all others.
    const bare = headers ? [] : ['service worker'];
    for (const [name, place] of found) {
      assert.ok(place, `${name} is there`);
      if (bare.includes(name)) continue;
      const ended = await place.evaluate(leave, elsewhere.url);
      assert.ok(ended.length >= 3, `${name} has ways to try: ${ended}`);
      assert.deepEqual(ended.filter((way) => !way.endsWith('refused')), [], name);
    }
    assert.deepEqual(elsewhere.asked, [], 'nothing arrived elsewhere');
    await context.close();
    await Promise.all([server.stop(), elsewhere.stop()]);
  });
}

test('the page lets nobody show it inside another page, the frame does', async () => {
  const server = await serve(undefined, '/shop/', { headers: true });
  const folder = await mkdtemp(join(tmpdir(), 'bastwork-'));
  await writeFile(join(folder, 'around.html'), `<title>around</title><iframe src="${server.url}"></iframe><iframe src="${server.url}frame.html?stage=dry"></iframe>`);
  const outside = await serve(folder);
  for (const visited of [false, true]) {
    const context = await here.chromium.newContext({ serviceWorkers: visited ? 'allow' : 'block' });
    const page = await context.newPage();
    if (visited) {
      await page.goto(server.url);
      await ready(page);
      await kept(page);
    }
    await page.goto(`${outside.url}around.html`);
    await page.frameLocator('iframe >> nth=1').locator('bast-work').waitFor({ state: 'attached' });
    await page.waitForFunction(() => document.readyState === 'complete');
    assert.equal(await page.frameLocator('iframe >> nth=0').locator('#ticket').count(), 0, 'only the frame is there');
    await context.close();
  }
  await Promise.all([server.stop(), outside.stop(), rm(folder, { recursive: true })]);
});
