// After one visit everything works with the server gone, and a newer page never replaces the code under a plan at work.
import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { browser, kept, open, serve, siteDir } from './lib.mjs';
import { at, enter, hear, inPlans, keptPlan, openAll, ready, said, strip } from './ticket.mjs';

let chromium;
before(async () => { chromium = await browser(); });
after(() => chromium.close());

/** A first visit below a folder: the service worker has everything. */
async function visit(server) {
  const visited = await open(chromium, { url: server.url });
  await ready(visited.page);
  await kept(visited.page);
  return visited;
}

test('with the server stopped: a reload, a new plan, kept, loaded again, and still computed', async () => {
  const server = await serve(undefined, '/class/handouts/');
  const { context, page, complaints, away } = await visit(server);
  await server.stop();
  await assert.rejects(fetch(server.url), 'the server is really gone');

  await page.reload();
  await ready(page);
  await inPlans(page, 'New plan');
  await page.keyboard.type('0,4');
  await enter(page, 'name', 'Lid of the feeder');
  await enter(page, 'stack.0.count', '3');
  const foot = await strip(page);
  assert.equal(foot.plies, '3');
  await page.reload();
  await ready(page);
  assert.equal(await at(page, 'name').inputValue(), 'Lid of the feeder');
  assert.deepEqual(await strip(page), foot);
  await enter(page, 'stack.0.count', '5');
  assert.equal((await strip(page)).plies, '5');

  await openAll(page);
  await inPlans(page, 'Paddle blade');
  await page.waitForFunction(() => document.title.startsWith('Punt paddle blade'));
  await page.close();
  const again = await context.newPage();
  await again.goto(server.url);
  await ready(again);
  assert.equal(await at(again, 'name').inputValue(), 'Punt paddle blade', 'a closed page opens again');
  assert.deepEqual(complaints, []);
  assert.deepEqual(away, []);
  await context.close();
});

test('with the server stopped: every page opens and computes', async () => {
  const server = await serve(undefined, '/a/');
  const { context, page, complaints } = await visit(server);
  await server.stop();
  for (const path of ['', 'index.html', '?from=home']) {
    await page.goto(server.url + path);
    await ready(page);
    assert.equal((await strip(page)).plies, '4', path);
  }
  for (const [path, words] of [['frame.html?stage=dry', 'How wet is the cloth'], ['frame.html#stage=mix', 'resin to mix'], ['frame.html?stage=bag', 'Is the bag tight'], ['examples/handout.html', 'A hive roof from flax']]) {
    await page.goto(server.url + path);
    await page.waitForFunction(() => [...document.querySelectorAll('bast-work')].every(({ shadowRoot }) => /\d/.test(shadowRoot?.querySelector('.answer .big')?.textContent ?? '')));
    const text = await page.evaluate(() => document.body.textContent + [...document.querySelectorAll('bast-work')].map(({ shadowRoot }) => shadowRoot.textContent).join(' '));
    assert.match(text, new RegExp(words), path);
  }
  const frame = page.frames().find((one) => one.url().includes('frame.html'));
  assert.match(await frame.locator('bast-work .answer').textContent(), /\d/, 'the frame inside the handout');
  assert.deepEqual(complaints, []);
  await context.close();
});

test('with the server stopped: what the page is made of, and under which licences', async () => {
  const server = await serve(undefined, '/a/');
  const { context, page, complaints } = await visit(server);
  await server.stop();
  await page.locator('#plans-button').click();
  const [notices] = await Promise.all([context.waitForEvent('page'), page.locator('#plans').getByRole('link', { name: 'licences' }).click()]);
  await notices.waitForLoadState();
  const text = await notices.evaluate(() => document.body.textContent);
  assert.match(text, /^Bastwork is under the MIT licence/);
  assert.match(text, /\nserde \d.*\n/);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('a newer page waits under a plan at work, starts when asked once the plan is kept, and never by itself', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'bastwork-'));
  await cp(siteDir, folder, { recursive: true });
  const server = await serve(folder);
  const { context, page } = await visit(server);
  await enter(page, 'part.area_m2', '0,9');

  await renew(folder);
  await page.evaluate(async () => (await navigator.serviceWorker.getRegistration()).update());
  await hear(page, 'A newer Bastwork is ready');
  assert.equal(await at(page, 'part.area_m2').inputValue(), '0,9', 'what is being typed stays');
  assert.equal(await page.textContent('h1'), 'Bastwork');
  await page.reload();
  await ready(page);
  assert.equal(await page.textContent('h1'), 'Bastwork', 'a reload brings no mixture of old and new');
  const beside = await context.newPage();
  await beside.goto(server.url);
  await ready(beside);

  // While the plan cannot be kept, the newer page does not start, even when the browser has refused before.
  await page.evaluate(() => { Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); }; });
  await enter(page, 'part.area_m2', '0,95');
  await hear(page, 'no room left');
  await page.getByRole('button', { name: 'Start it now' }).click();
  await hear(page, 'could not be saved just now, so the newer Bastwork waits');
  assert.equal(await page.textContent('h1'), 'Bastwork');
  assert.equal(await at(page, 'part.area_m2').inputValue(), '0,95');

  await beside.bringToFront();
  await enter(beside, 'part.area_m2', '0,7');
  const plan = await keptPlan(beside);
  await Promise.all([beside.waitForNavigation(), beside.getByRole('button', { name: 'Start it now' }).click()]);
  await ready(beside);
  assert.equal(await beside.textContent('h1'), 'Bastwork two');
  assert.equal((await keptPlan(beside)).part.area_m2, plan.part.area_m2);
  await hear(page, 'A newer Bastwork was started in another tab');
  assert.equal(await page.textContent('h1'), 'Bastwork', 'the other tab is told, not replaced');
  assert.equal(await at(page, 'part.area_m2').inputValue(), '0,95');
  assert.doesNotMatch(await said(beside), /newer/);
  await context.close();
  await server.stop();
  await rm(folder, { recursive: true });
});

/** Changes the page in a folder as a new build would: another heading, another fingerprint, another version. */
async function renew(folder) {
  const [page, worker] = [join(folder, 'index.html'), join(folder, 'sw.js')];
  const html = (await readFile(page, 'utf8')).replace('<h1>Bastwork</h1>', '<h1>Bastwork two</h1>');
  await writeFile(page, html);
  const hash = createHash('sha256').update(html).digest('hex').slice(0, 16);
  let text = await readFile(worker, 'utf8');
  for (const place of [/(?<=\["index\.html",")\w+(?=")/, /(?<=version = ')\w+(?=')/]) {
    assert.match(text, place);
    text = text.replace(place, hash);
  }
  await writeFile(worker, text);
}
