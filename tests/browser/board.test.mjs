// The drawing board of the fill: a part drawn with a finger, lines placed and dragged, by keyboard, offline and after a reload.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { barriers, kept } from './lib.mjs';
import { drawn, give, keptPlan, openStage, shop, ticket } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

const PLAN = {
  format: 1, name: 'Counter on the board', route: 'infusion', resin: 'infusion_epoxy_slow',
  part: { area_m2: 1.44, shape: { form: 'rectangle', length_mm: 1800, width_mm: 800 } },
  stack: [{ fabric: 'flax_twill_300', count: 6, angle_deg: 0 }],
  room: { temperature_c: 21 }, bag: { pressure_mbar_abs: 20 },
  fill: { lines: [{ does: 'feed', points_mm: [[0, 0], [0, 800]] }] },
};

/** The ticket with this plan, its board open and worked out. */
async function board(plan = PLAN, options = {}) {
  const opened = await ticket(here, options);
  const { page } = opened;
  await give(page, 'board.json', plan);
  await page.waitForFunction((title) => document.title.startsWith(title), plan.name);
  await drawn(page);
  await openStage(page, 'fill');
  return opened;
}

const view = (page) => page.locator('canvas.board-view');
const minutes = async (page) => Number(await view(page).getAttribute('data-min'));

/** Waits until the board tells another time than before. */
const otherThan = (page, before) => page.waitForFunction((old) => {
  const now = document.querySelector('canvas.board-view')?.dataset.min;
  return now && Number(now) !== old;
}, before);

/** Waits for a first picture. */
const pictured = (page) => page.waitForSelector('canvas.board-view[data-min]');

/** Where a place of the canvas, in CSS pixels of its drawing, lies on the screen. */
async function screen(page, [u, v]) {
  await view(page).scrollIntoViewIfNeeded();
  const box = await view(page).boundingBox();
  return [box.x + u * box.width, box.y + v * box.height];
}

test('one edge is not enough, suggested lines are, and the plan learns area and lines', async () => {
  const { context, page, complaints } = await board();
  await pictured(page);
  const slow = await minutes(page);
  assert.notEqual(await view(page).getAttribute('data-reach'), 'will');
  await page.getByRole('button', { name: 'Suggest lines' }).click();
  const use = page.getByRole('button', { name: /^Use these lines/ });
  await use.first().waitFor();
  assert.equal(await use.count(), 3);
  await use.first().click();
  await otherThan(page, slow);
  assert.equal(await view(page).getAttribute('data-reach'), 'will');
  assert.ok((await minutes(page)) < slow / 3);
  const plan = await keptPlan(page);
  assert.ok(plan.fill.lines.some(({ does }) => does === 'feed') && plan.fill.lines.some(({ does }) => does === 'vent'));
  await page.waitForFunction(() => !document.querySelector('.board-fold .words[hidden]'));
  await page.locator('.board-fold .words summary').click();
  assert.ok((await page.locator('.by-then tbody tr').count()) >= 4);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('an outline is tapped corner by corner, fed by a tap on its edge, and a line is dragged', async () => {
  const { part, fill, ...rest } = PLAN;
  const { context, page, complaints } = await board({ ...rest, name: 'Tapped', part: { area_m2: 0.5 } }, { reducedMotion: 'reduce' });
  await page.locator('.board-fold > summary').click();
  await page.getByLabel('Form of the part').selectOption('outline');
  await view(page).waitFor();
  for (const corner of [[0.15, 0.85], [0.85, 0.85], [0.85, 0.2], [0.15, 0.2]]) await page.touchscreen.tap(...await screen(page, corner));
  await page.getByRole('button', { name: 'Close the outline' }).click();
  await pictured(page);
  const shape = (await keptPlan(page)).part.shape;
  assert.equal(shape.form, 'outline');
  assert.equal(shape.points_mm.length, 4);
  const across = await minutes(page);
  await page.getByRole('button', { name: 'Feed', exact: true }).click();
  // The lower edge.
  const box = await view(page).boundingBox();
  const high = box.height / box.width;
  await page.touchscreen.tap(...await screen(page, [0.5, 1 - 30 / (box.width * high)]));
  await otherThan(page, across);
  const edge = await minutes(page);
  const plan = await keptPlan(page);
  assert.equal(plan.fill.lines.length, 1);
  // Dragged to the middle, it is much quicker, and the answer follows before the finger lets go.
  const from = await screen(page, [0.5, 1 - 30 / (box.width * high)]);
  const to = await screen(page, [0.5, 0.5]);
  await page.mouse.move(...from);
  await page.mouse.down();
  for (let k = 1; k <= 6; k += 1) await page.mouse.move(from[0], from[1] + ((to[1] - from[1]) * k) / 6);
  await otherThan(page, edge);
  await page.mouse.up();
  await page.waitForFunction((old) => Number(document.querySelector('canvas.board-view').dataset.min) < old * 0.6, edge);
  assert.deepEqual(complaints, []);
  assert.deepEqual(await barriers(page), []);
  await context.close();
});

test('by keyboard: sizes, lines as numbers, arrows move a line, and the film tells its minute', async () => {
  const { context, page, complaints } = await board();
  await pictured(page);
  const first = await minutes(page);
  await page.getByLabel('Length', { exact: true }).first().fill('900');
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  await otherThan(page, first);
  const shorter = await minutes(page);
  assert.ok(shorter < first);
  await page.getByLabel('Feed 1, point 2, x in millimetres').fill('450');
  await page.keyboard.press('Tab');
  await otherThan(page, shorter);
  const slanted = await minutes(page);
  await view(page).focus();
  for (let k = 0; k < 3; k += 1) await page.keyboard.press('ArrowRight');
  await otherThan(page, slanted);
  const slider = page.getByLabel('Time since the feed was opened');
  await slider.focus();
  await page.keyboard.press('Home');
  assert.match(await slider.getAttribute('aria-valuetext'), /^after 0/);
  await page.keyboard.press('End');
  assert.match(await slider.getAttribute('aria-valuetext'), /^after \d/);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('offline after one visit, and after a reload, the drawing is there and answers', async () => {
  const { context, page, complaints } = await board(PLAN, { serviceWorkers: 'allow' });
  await pictured(page);
  const online = await minutes(page);
  await kept(page);
  await context.setOffline(true);
  await page.reload();
  await drawn(page);
  await pictured(page);
  assert.equal(await minutes(page), online);
  await page.getByRole('button', { name: 'Suggest lines' }).click();
  await page.getByRole('button', { name: /^Use these lines/ }).first().waitFor();
  assert.deepEqual(complaints, []);
  await context.close();
});

test('a drawing file asks its unit, then becomes the part; a broken one is told in a sentence', async () => {
  const { context, page, complaints } = await board();
  await pictured(page);
  const before = await minutes(page);
  const file = page.locator('#shape-file');
  const svg = '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0H500V300H0Z"/></svg>';
  await file.setInputFiles({ name: 'lid.svg', mimeType: 'image/svg+xml', buffer: Buffer.from(svg) });
  await page.getByRole('button', { name: 'millimetres' }).click();
  await otherThan(page, before);
  await page.waitForFunction(() => /0[.,]15/.test(document.getElementById('at-part-area_m2').value));
  const plan = await keptPlan(page);
  assert.equal(plan.part.shape.from, 'lid.svg');
  assert.ok(Math.abs(plan.part.area_m2 - 0.15) < 1e-6);
  await file.setInputFiles({ name: 'broken.dxf', mimeType: 'application/dxf', buffer: Buffer.from('0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nx') });
  await page.waitForFunction(() => /file|outline|line/i.test(document.querySelector('.board-fold [role="status"] li')?.textContent ?? ''));
  assert.equal((await keptPlan(page)).part.shape.from, 'lid.svg');
  assert.deepEqual(complaints, []);
  await context.close();
});
