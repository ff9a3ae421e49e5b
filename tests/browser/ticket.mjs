// What a maker does on the ticket: opens it, finds an entry, reads the strip, opens a stage.
import assert from 'node:assert/strict';
import { browser, open, serve } from './lib.mjs';

/** Chromium and a server of the built page for the tests of one file; `stop` ends both. */
export async function shop(below = '/') {
  const [chromium, server] = [await browser(), await serve(undefined, below)];
  const stop = async () => { await chromium.close(); await server.stop(); };
  return { chromium, server, url: server.url, stop };
}

/** Opens the ticket and waits until it stands. The service worker is left out unless a test is about it. */
export async function ticket({ chromium, url }, options = {}) {
  const opened = await open(chromium, { url, serviceWorkers: 'block', ...options });
  await ready(opened.page);
  await whole(opened.page);
  return opened;
}

/** Waits until all parts of the page are here and the sheet is drawn. */
export async function whole(page) {
  await page.locator('html[data-core="ready"]').waitFor();
  await drawn(page);
}

/** Waits until the ticket stands. */
export const ready = (page) => page.locator('#ticket:not([hidden])').waitFor();

/** Waits until what was typed is worked out, aside, and drawn. */
export async function drawn(page) {
  await page.evaluate(() => new Promise((done) => { requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done))); }));
  await page.locator('html:not([data-sheet="waiting"])').waitFor({ state: 'attached' });
}

const id = (path) => `at-${path.replace(/[^a-z0-9_]+/gi, '-')}`;

/** The entry for a path of the plan, and the line under it. */
export const at = (page, path) => page.locator(`[id="${id(path)}"]`);
export const under = (page, path) => page.locator(`[id="${id(path)}-under"]`);

/** Brings an entry into view, whatever holds it, and gives it a text or a choice. */
export async function enter(page, path, text) {
  const entry = at(page, path);
  await entry.evaluate((element) => {
    element.closest('.stage')?.querySelector('h2 > button[aria-expanded="false"]')?.click();
    for (let around = element.closest('details'); around; around = around.parentElement?.closest('details')) around.open = true;
  });
  if (await entry.evaluate((element) => element.tagName === 'SELECT')) await entry.selectOption(text);
  else await entry.fill(text);
  await drawn(page);
}

/** The strip at the foot as it reads: `{ plies: '4', thick: '2.4 mm', ... }`. */
export const strip = (page) => page.locator('#strip a').evaluateAll((links) => Object.fromEntries(
  links.map(({ children: [label, text] }) => [label.textContent, text.textContent])));

/** What the page says at its top. */
export const said = (page) => page.locator('#say .said p, #standing .said p').allTextContents().then((lines) => lines.join(' '));

/** Waits until the page says something like this at its top. */
export const hear = (page, words) => page.locator('#say .said p, #standing .said p').filter({ hasText: words }).first().waitFor();

/** The stages that are there, by the name they have in the sheet. */
export const stages = (page) => page.locator('.stage:not([hidden])').evaluateAll((all) => all.map((one) => one.id.replace('stage-', '')));

/** Opens a stage, or finds it open. */
export async function openStage(page, name) {
  const head = page.locator(`#stage-${name}-head`);
  if (await head.getAttribute('aria-expanded') === 'false') await head.click();
  await drawn(page);
}

/** Opens everything that can be opened. */
export async function openAll(page) {
  await page.evaluate(() => {
    document.querySelectorAll('.stage h2 > button[aria-expanded="false"]').forEach((head) => head.click());
    document.querySelectorAll('main details').forEach((details) => { details.open = true; });
  });
  await drawn(page);
}

/** The plan on the bench, as the browser keeps it once it is written down. */
export async function keptPlan(page) {
  await page.evaluate(() => dispatchEvent(new Event('pagehide')));
  return page.evaluate(() => {
    const id = sessionStorage.getItem('bastwork.bench');
    return JSON.parse(localStorage.getItem(`bastwork.plan.${id}`))?.plan;
  });
}

/** What the core answers to a plan, on this very page. */
export const answerTo = (page, plan) => page.evaluate(async (given) => {
  const { core, load } = await import(new URL('core.js', document.querySelector('script[type="module"]').src));
  await load();
  return core.sheet(given, null);
}, plan);

/** Opens the list of plans and presses a button in it. */
export async function inPlans(page, name) {
  await page.evaluate(() => scrollTo(0, 0));
  if (await page.locator('#plans').isHidden()) await page.locator('#plans-button').click();
  await page.locator('#plans').getByRole('button', { name, exact: true }).click();
}

/** Gives the page a file, as the file dialogue would. */
export async function give(page, name, content) {
  if (await page.locator('#plans').isHidden()) await page.locator('#plans-button').click();
  const buffer = Buffer.from(typeof content === 'string' || Buffer.isBuffer(content) ? content : JSON.stringify(content));
  await page.locator('#plan-file').setInputFiles({ name, mimeType: 'application/json', buffer });
}

/** The page goes on working: a new area gives new figures. */
export async function worksOn(page) {
  const before = await strip(page);
  await enter(page, 'part.area_m2', await at(page, 'part.area_m2').inputValue() === '0.31' ? '0.62' : '0.31');
  const after = await strip(page);
  assert.ok(after.mix, 'there is a sheet');
  assert.notDeepEqual(after, before);
}
