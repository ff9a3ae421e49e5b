// The page opens on a phone without a complaint, from any folder, and again when the server is gone.
import assert from 'node:assert/strict';
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { barriers, browser, kept, open, serve, siteDir, slips } from './lib.mjs';

let chromium;
before(async () => { chromium = await browser(); });
after(() => chromium.close());

test('opens without a complaint and asks nobody else', async () => {
  const { context, page, complaints, away } = await open(chromium, { url: process.env.SITE_URL });
  await page.waitForLoadState('networkidle');
  assert.match(await page.title(), /Bastwork/);
  assert.equal(await page.evaluate(() => typeof WebAssembly), 'object');
  assert.deepEqual(complaints, []);
  assert.deepEqual(away, []);
  assert.deepEqual(await barriers(page), []);
  await context.close();
});

test('loads the core under its content security policy, below any folder, and works with the server stopped', async () => {
  const server = await serve(undefined, '/class/handouts/');
  const { context, page, complaints } = await open(chromium, { url: server.url });
  await kept(page);
  await server.stop();

  await page.reload();
  const version = await page.evaluate(async () => {
    const { core, load } = await import(new URL('core.js', document.baseURI));
    await load();
    return core.version();
  });
  assert.match(version, /^\d+\.\d+\.\d+$/);
  assert.match(await page.title(), /Bastwork/);
  assert.deepEqual(complaints, []);
  assert.ok(server.asked.every((path) => path.startsWith('/class/handouts/')), server.asked.join(' '));
  await context.close();
});

test('every HTML file is well made', async () => {
  const files = (await readdir(siteDir, { recursive: true })).filter((name) => name.endsWith('.html'));
  assert.ok(files.includes('index.html'));
  for (const name of files) assert.deepEqual(await slips(join(siteDir, name)), []);
});
