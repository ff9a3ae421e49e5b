// The page starts, or says what is missing: each file of the first load is evicted, not found, empty or cut in half, with a network and without.
import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { browser, kept, serve, siteDir } from './lib.mjs';
import { ready } from './ticket.mjs';

let chromium;
before(async () => { chromium = await browser(); });
after(() => chromium.close());

/** The files of the first load, as the built page lists them. */
const listed = JSON.parse(/files = (\[\[.*?\]\]);/.exec(await readFile(join(siteDir, 'sw.js'), 'utf8'))[1]);
const first = listed.filter(([, , later]) => later === 0).map(([link]) => link);
/** Without these the page starts all the same: the looks, a head start for the core, and the worker, whose work the page can do itself. */
const NEEDLESS = /\.css$|^begin\.js$|^aside-worker\.js$/;

const DAMAGE = { empty: (body) => body.subarray(0, 0), half: (body) => body.subarray(0, body.length >> 1) };

/** A server whose answers can be bent, or that can be cut off. */
async function bending() {
  const how = { away: false, link: '', damage: (body) => body, newer: /** @type {Record<string, Buffer>} */ ({}) };
  const server = await serve(undefined, '/class/', { bend(path, body) {
    if (how.away) return null;
    return how.link === (path || 'index.html') ? how.damage(body) : how.newer[path] ?? body;
  } });
  return { ...server, how };
}

/** How a page that was opened ends: it stands, or it says something else than that it is being laid out. */
async function ending(page) {
  await page.waitForFunction(() => {
    const loading = document.getElementById('loading');
    return document.getElementById('ticket')?.hidden === false || (loading ? !/^(Laying out|A newer)/.test(loading.textContent) && !/takes long/.test(loading.textContent) : document.body?.textContent.includes('missing'));
  });
  return page.evaluate(() => (document.getElementById('ticket')?.hidden === false ? '' : (document.getElementById('loading') ?? document.querySelector('p')).textContent));
}

test('there is a first load to try', () => {
  assert.ok(first.length > 20, String(first));
  for (const link of ['index.html', 'main.js', 'bastwork-wasm_bg.bin', 'style.css']) assert.ok(first.includes(link), link);
});

for (const kind of ['evicted', 'empty', 'half']) {
  test(`each file ${kind} in what the device keeps: without a network the page says which, with one it mends itself`, async () => {
    const server = await bending();
    const context = await chromium.newContext();
    let page = await context.newPage();
    await page.goto(server.url);
    await ready(page);
    await kept(page);
    /** Spoils one file where the worker keeps it, once it is there. */
    const spoil = (link) => page.evaluate(async ([wanted, how]) => {
      const [name] = (await caches.keys()).filter((one) => one.startsWith('bastwork '));
      const cache = await caches.open(name);
      const find = async () => (await cache.keys()).find(({ url }) => new URL(url).pathname === new URL(wanted, document.baseURI).pathname);
      let key = await find();
      while (!key) {
        await new Promise((done) => { setTimeout(done, 50); });
        key = await find();
      }
      const held = await cache.match(key);
      if (how === 'evicted') return void await cache.delete(key);
      const body = await held.arrayBuffer();
      return void await cache.put(key, new Response(body.slice(0, how === 'half' ? body.byteLength >> 1 : 0), { headers: held.headers }));
    }, [link, kind]);
    /** Waits until a file is kept again as the server has it. */
    const whole = async (link) => {
      const { size } = await stat(join(siteDir, link));
      await page.evaluate(async ([wanted, bytes]) => {
        const [name] = (await caches.keys()).filter((one) => one.startsWith('bastwork '));
        const cache = await caches.open(name);
        const path = new URL(wanted, document.baseURI).pathname;
        const kept = async () => {
          const key = (await cache.keys()).find(({ url }) => new URL(url).pathname === path);
          return key ? (await (await cache.match(key))?.arrayBuffer())?.byteLength : undefined;
        };
        while (await kept() !== bytes) await new Promise((done) => { setTimeout(done, 50); });
      }, [link, size]);
    };
    const again = async () => {
      await page.close();
      page = await context.newPage();
      await page.goto(server.url);
    };
    for (const link of first) {
      await spoil(link);
      server.how.away = true;
      await again();
      const said = await ending(page);
      if (NEEDLESS.test(link)) assert.equal(said, '', link);
      else if (link === 'index.html') assert.match(said, /This page is missing on this device/);
      else assert.match(said, new RegExp(`"${link.replaceAll('.', '\\.')}" is missing here, and there is no network.*Your plans stay as they are`), link);
      server.how.away = false;
      // The network is back while the page stands there.
      if (said && link !== 'index.html') await page.evaluate(() => { dispatchEvent(new Event('online')); });
      else await page.reload();
      await ready(page);

      await whole(link);
    }

    // All of them at once, with a network from the start.
    for (const link of first) await spoil(link);
    await again();
    await ready(page);
    for (const link of first) await whole(link);
    // Everything is kept again, whole.
    server.how.away = true;
    await again();
    await ready(page);
    await context.close();
    await server.stop();
  });
}

for (const [kind, damage] of Object.entries({ ...DAMAGE, 'not found': () => 404 })) {
  test(`each file ${kind} on the server at a first visit: the page says which, and starts when it is there`, async () => {
    const server = await bending();
    for (const link of first.filter((one) => one !== 'index.html')) {
      // Once for each kind with the worker that comes when it stands.
      const starts = ['main.js', 'bastwork-wasm_bg.bin'].includes(link);
      const context = await chromium.newContext({ serviceWorkers: starts ? 'allow' : 'block' });
      const page = await context.newPage();
      Object.assign(server.how, { link, damage });
      await page.goto(server.url);
      const said = await ending(page);
      if (NEEDLESS.test(link)) assert.equal(said, '', link);
      else assert.match(said, new RegExp(`"${link.replaceAll('.', '\\.')}" is missing or broken on the server`), link);
      server.how.link = '';
      if (starts) {
        await page.getByRole('button', { name: 'Try again' }).click();
        await ready(page);
        await kept(page);
      }
      await context.close();
    }
    await server.stop();
  });
}

test('a file is evicted while the server holds a newer page already: the newer one starts', async () => {
  const server = await bending();
  const context = await chromium.newContext();
  const page = await context.newPage();
  await page.goto(server.url);
  await ready(page);
  await kept(page);
  await page.evaluate(async () => {
    const [name] = (await caches.keys()).filter((one) => one.startsWith('bastwork '));
    const cache = await caches.open(name);
    const [key] = (await cache.keys()).filter(({ url }) => new URL(url).pathname.endsWith('/say.js'));
    await cache.delete(key);
  });
  // The newer page: one script of it is another, and its list says so.
  const say = Buffer.concat([await readFile(join(siteDir, 'say.js')), Buffer.from('\nglobalThis.newer = true;\n')]);
  const hash = createHash('sha256').update(say).digest('hex').slice(0, 16);
  const worker = (await readFile(join(siteDir, 'sw.js'), 'utf8')).replace(/\["say\.js","\w+"/, `["say.js","${hash}"`).replace(/version = '\w+'/, `version = '${hash}'`);
  server.how.newer = { 'say.js': say, 'sw.js': Buffer.from(worker) };
  await page.reload();
  await ready(page);
  assert.equal(await page.evaluate(() => globalThis.newer), true);
  await context.close();
  await server.stop();
});

test('a browser that cannot compute is told so, and a cut-off module is not taken for one', async () => {
  const server = await bending();
  const context = await chromium.newContext({ serviceWorkers: 'block' });
  const page = await context.newPage();
  await page.addInitScript(() => { delete globalThis.WebAssembly; });
  await page.goto(server.url);
  assert.match(await ending(page), /It needs WebAssembly: try a newer browser/);
  const other = await context.newPage();
  Object.assign(server.how, { link: 'bastwork-wasm_bg.bin', damage: DAMAGE.half });
  await other.goto(server.url);
  assert.doesNotMatch(await ending(other), /newer browser/);
  await context.close();
  await server.stop();
});
