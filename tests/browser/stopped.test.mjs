// Whatever stops the core half way: the page says so, keeps the plan, and goes on with a module made anew. And a part that is drawn is
// told as drawn, in the handout too, or it says that it is not.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { open, siteDir } from './lib.mjs';
import { at, drawn, enter, give, hear, keptPlan, openStage, ready, said, shop, ticket, whole } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

const DRAWN = JSON.parse(await readFile(join(siteDir, 'examples/counter_drawn.json'), 'utf8'));

/**
 * Has every module stop half way at plans that a trap is named in, as one does that runs out of memory. `asked` lists what was fetched.
 */
async function trapped(page) {
  const asked = [];
  await page.context().route(/bastwork-wasm\.js/, async (route) => {
    asked.push(new URL(route.request().url()));
    const answer = await route.fetch();
    let text = await answer.text();
    const trap = "if (String(plan.name).startsWith('sheet trap')) throw new WebAssembly.RuntimeError('unreachable');";
    text = text.replace('export function sheet(', `export function sheet(plan, own) { ${trap} return sheet_inside(plan, own); }\nfunction sheet_inside(`);
    await route.fulfill({ response: answer, body: text });
  });
  return asked;
}

/** A page whose modules can be made to stop. */
async function stoppable(options = {}) {
  const opened = await open(here.chromium, { url: 'about:blank', serviceWorkers: 'block', ...options });
  const asked = await trapped(opened.page);
  await opened.page.goto(here.url);
  await ready(opened.page);
  await whole(opened.page);
  return { ...opened, asked };
}

const anew = (asked) => asked.filter(({ search }) => search).length;

test('a plan at which the core stops is kept, told, and worked out again once it is another', async () => {
  const { context, page, asked, complaints } = await stoppable();
  await enter(page, 'part.area_m2', '0,9');
  await enter(page, 'name', 'sheet trap');
  await page.locator('#problems:not([hidden])').waitFor();
  assert.match(await page.locator('#problems').textContent(), /stopped half way/);
  assert.match(await said(page), /stopped half way.*The plan is kept/);
  assert.ok((await page.locator('#strip a').count()) > 4, 'the figures from before stand');
  // The page's own module is made anew as well, where one has stopped.
  const here_ = async (name) => page.evaluate(async ([plan, called]) => {
    const { core } = await import(new URL('core.js', document.baseURI));
    return Object.keys(core.sheet({ ...plan, name: called }, null));
  }, [await keptPlan(page), name]);
  assert.deepEqual(await here_('sheet trap'), ['stopped', 'problems']);
  await page.waitForFunction(() => performance.getEntriesByType('resource').some(({ name }) => /bastwork-wasm\.js\?\d/.test(name)));
  assert.ok(anew(asked) >= 1, 'a module made anew');
  assert.deepEqual(await here_('calm'), ['sheet']);

  // The same after a reload, and nothing typed is lost.
  await page.reload();
  await ready(page);
  await page.locator('html[data-core="ready"]').waitFor();
  assert.equal(await at(page, 'name').inputValue(), 'sheet trap');
  assert.equal(await at(page, 'part.area_m2').inputValue(), '0.9');
  assert.match(await said(page), /stopped half way/);

  await enter(page, 'name', 'a roof');
  await page.locator('#problems').waitFor({ state: 'hidden' });
  assert.ok((await page.locator('#strip a').count()) > 4);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('a drawn plan at which the core stops opens without its drawing, beside the one that is kept', async () => {
  const { context, page } = await stoppable();
  await give(page, 'drawn.json', { ...DRAWN, name: 'sheet trap' });
  await hear(page, /stopped half way/);
  await page.getByRole('button', { name: 'Open it without the drawing' }).click();
  await enter(page, 'name', 'plain');
  await page.locator('#problems').waitFor({ state: 'hidden' });
  const plans = await page.evaluate(() => Object.keys(localStorage).filter((key) => /plan/.test(key)).map((key) => localStorage.getItem(key)));
  const kept = plans.map((text) => { try { return JSON.parse(text).plan; } catch { return null; } }).filter(Boolean);
  assert.ok(kept.some((plan) => plan.name === 'sheet trap' && plan.part.shape), JSON.stringify(kept).slice(0, 400));
  assert.ok(kept.some((plan) => plan.name === 'plain' && !plan.part.shape && !plan.fill?.lines));
  await context.close();
});

test('a zigzag that a finger draws for a vent leaves the ticket standing, on a small screen and after a reload', async () => {
  const { context, page, complaints } = await ticket(here);
  await give(page, 'counter.json', { ...DRAWN, fill: { lines: [{ does: 'feed', points_mm: [[0, 0], [0, 800]] }] } });
  await page.waitForFunction((title) => document.title.startsWith(title), DRAWN.name);
  await openStage(page, 'fill');
  const canvas = page.locator('canvas.board-view[data-min]');
  await canvas.waitFor();
  const before = await canvas.getAttribute('data-min');
  await page.getByRole('button', { name: 'Vent', exact: true }).click();
  await canvas.scrollIntoViewIfNeeded();
  const box = await canvas.boundingBox();
  const place = (x, y) => [box.x + box.width * x, box.y + box.height * y];
  await page.mouse.move(...place(0.4, 0.4));
  await page.mouse.down();
  for (let k = 1; k < 9; k += 1) await page.mouse.move(...place(k % 2 ? 0.5 : 0.4, 0.4 + 0.012 * k), { steps: 4 });
  await page.mouse.up();
  await page.waitForFunction((old) => document.querySelector('canvas.board-view').dataset.min !== old, before);
  await drawn(page);
  assert.equal(await page.locator('#problems').isHidden(), true);
  if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/zigzag.png` });
  await page.reload();
  await ready(page);
  await whole(page);
  assert.equal(await page.locator('#problems').isHidden(), true);
  assert.ok((await page.locator('#strip a').count()) > 4);
  assert.deepEqual(complaints, []);
  await context.close();
});

/** A page with a handout of the fill in it. */
async function handout(context) {
  const page = await context.newPage();
  await page.goto(here.url);
  await page.setContent(`<base href="${here.url}"><script type="module" src="bast-work.js"></script>
    <bast-work stage="fill" plan='${JSON.stringify(DRAWN).replaceAll("'", '&#39;')}'></bast-work>`);
  return page;
}

test('a handout of a part that is drawn tells what the page tells, or that it cannot', async () => {
  const { context, page } = await ticket(here);
  await give(page, 'drawn.json', DRAWN);
  await page.waitForFunction((title) => document.title.startsWith(title), DRAWN.name);
  await drawn(page);
  await openStage(page, 'fill');
  const answer = (await page.locator('#stage-fill .answer').first().textContent()).trim();
  const frame = await handout(context);
  await frame.locator('bast-work .answer').waitFor();
  assert.equal((await frame.locator('bast-work .answer').textContent()).trim(), answer);

  await context.route('**/*.bin', (route) => route.abort());
  const alone = await handout(context);
  await alone.locator('bast-work .problem').waitFor();
  assert.match(await alone.locator('bast-work .problem').textContent(), /could not be loaded/);
  assert.equal(await alone.locator('bast-work .answer').count(), 0);
  await context.close();
});
