// The front watched on the drawing board: marks tapped on the picture, full, values kept for a cloth and forgotten, inches.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { after, before, test } from 'node:test';
import { barriers, kept } from './lib.mjs';
import { drawn, enter, give, hear, keptPlan, openStage, ready, shop, ticket, whole } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

/** Half a metre, fed along its left edge: full well before the resin gels. */
const PLAN = {
  format: 1, name: 'Watched', route: 'infusion', resin: 'infusion_epoxy_slow',
  part: { area_m2: 0.15, shape: { form: 'rectangle', length_mm: 500, width_mm: 300 } },
  stack: [{ fabric: 'flax_twill_300', count: 4, angle_deg: 0 }],
  room: { temperature_c: 21 }, bag: { pressure_mbar_abs: 20, flow_mesh: false },
  fill: { lines: [{ does: 'feed', points_mm: [[0, 0], [0, 300]] }] },
};

/** The ticket with this plan and its fill open. */
async function board(plan = PLAN, options = {}) {
  const opened = await ticket(here, options);
  await give(opened.page, 'front.json', plan);
  await opened.page.waitForFunction((title) => document.title.startsWith(title), plan.name);
  await drawn(opened.page);
  await openStage(opened.page, 'fill');
  return opened;
}

const fold = (page) => page.locator('.board-fold');
const view = (page) => page.locator('canvas.board-view');
const pictured = (page) => page.waitForSelector('canvas.board-view[data-min]');
const button = (page, name) => fold(page).getByRole('button', { name, exact: true });
const watch = (page) => fold(page).getByText('Watch the front', { exact: true }).click();
const front = async (page) => (await keptPlan(page)).fill.front;
const listed = (page) => fold(page).locator('.readings-list strong').allTextContents().then((all) => all.map((text) => text.replaceAll('\u00a0', ' ')));
/** The own shelf as the browser keeps it. */
const ownKept = (page) => page.evaluate(() => JSON.parse(localStorage.getItem('bastwork.own') ?? 'null')?.own ?? null);
const minute = async (page, text) => page.locator('[id="at-fill-front-min"]').fill(text);

/** Where a place of the part, x and y in millimetres, lies on the screen. */
async function screen(page, [x, y]) {
  await page.waitForTimeout(50);
  return view(page).evaluate((canvas, [mmX, mmY]) => {
    const box = canvas.getBoundingClientRect();
    const scale = Number(canvas.dataset.scale) * (box.width / (canvas.width / Math.min(devicePixelRatio, 3)));
    return [box.x + box.width / 2 + (mmX - 250) * scale, box.y + box.height / 2 - (mmY - 150) * scale];
  }, [x, y]);
}

test('a finger taps where the front is, the part is full, and each can be taken back', async () => {
  const { context, page, complaints } = await board(PLAN, { reducedMotion: 'reduce' });
  await pictured(page);
  await watch(page);
  await button(page, 'Tap it on the picture').tap();
  await fold(page).getByText('Tap "The feed is open" when you open it').waitFor();
  const from = Date.now();
  await button(page, 'The feed is open').tap();
  await button(page, 'Tap it on the picture').tap();
  assert.equal(await button(page, 'Tap it on the picture').getAttribute('aria-pressed'), 'true');
  assert.equal(await button(page, 'Front').getAttribute('aria-pressed'), 'true');
  // Beside the part nothing is noted, and the picture goes on waiting.
  const before = await view(page).evaluate((canvas) => canvas.toDataURL());
  const box = await view(page).boundingBox();
  const [, middle] = await screen(page, [250, 150]);
  await page.touchscreen.tap(...(await screen(page, [250, 150])).map((value, axis) => (axis === 0 ? value : Math.max(box.y + 1, middle - box.height / 2 + 2))));
  await page.locator('.board-fold .read-as', { hasText: 'The part is not there' }).waitFor();
  assert.equal(await front(page), undefined);
  await page.touchscreen.tap(...await screen(page, [300, 120]));
  await hear(page, /^Noted: at x \d+/);
  const [mark] = await front(page);
  assert.ok(mark.min <= Math.ceil((Date.now() - from) / 3000) / 20 && Math.abs(mark.at_mm[0] - 300) < 4 && Math.abs(mark.at_mm[1] - 120) < 4, JSON.stringify(mark));
  assert.equal(await button(page, 'Tap it on the picture').getAttribute('aria-pressed'), 'false');
  assert.notEqual(await view(page).evaluate((canvas) => canvas.toDataURL()), before, 'the mark is on the picture');
  // The tool beside the picture does the same; a minute typed first holds.
  await minute(page, '12');
  await button(page, 'Front').tap();
  await page.touchscreen.tap(...await screen(page, [400, 150]));
  await minute(page, '58');
  await button(page, 'It is full').tap();
  await minute(page, '61');
  await button(page, 'It is full').tap();
  const list = await listed(page);
  assert.match(list[1], /^At x (39|40)\d, y 1[45]\d mm after 12 min$/);
  assert.equal(list.at(-1), 'Full after 61 min');
  assert.equal(list.filter((text) => text.startsWith('Full')).length, 1, 'full is noted once');
  await page.locator('#say').getByRole('button', { name: 'Undo' }).last().tap();
  assert.equal((await listed(page)).at(-1), 'Full after 58 min');
  await button(page, 'Take out the mark that it is full').tap();
  assert.equal((await front(page)).length, 2);
  assert.ok((await front(page)).every(({ at_mm: place }) => place.length === 2));
  assert.deepEqual(complaints, []);
  await context.close();
});

const LEARNED = { ...PLAN, name: 'Learned', fill: { ...PLAN.fill, front: [{ min: 4, mm: 100 }, { min: 15, at_mm: [200, 150] }, { min: 33, mm: 300 }] } };

test('what marks tell is kept for the cloth, holds through a reload and for other plans, and is forgotten with an undo', async () => {
  const { context, page, complaints } = await board(LEARNED);
  const keep = fold(page).getByRole('button', { name: /^Keep for this cloth/ });
  await keep.waitFor();
  await fold(page).getByText('At the pace of your marks', { exact: false }).first().waitFor();
  await keep.click();
  const { permeability_m2: value } = (await ownKept(page)).learned.cloths.flax_twill_300;
  assert.ok(value.low < value.likely && value.likely < value.high && value.likely > 1e-13 && value.likely < 1e-8, JSON.stringify(value));
  await keep.waitFor({ state: 'detached' });
  await page.reload();
  await ready(page);
  await whole(page);
  await openStage(page, 'fill');
  const forget = fold(page).getByRole('button', { name: /^Forget it/ });
  await forget.waitFor();
  await fold(page).locator('.told-marks .told').filter({ hasText: /\w/ }).waitFor();
  assert.equal(await keep.count(), 0, 'it is known to be kept');
  await forget.press('Enter');
  assert.equal((await ownKept(page)).learned, undefined);
  await keep.waitFor();
  await page.locator('#say').getByRole('button', { name: 'Undo' }).last().click();
  assert.deepEqual((await ownKept(page)).learned.cloths.flax_twill_300.permeability_m2, value);
  await forget.waitFor();
  // Another plan with the cloth stands on it, and its marks need not be there.
  await give(page, 'other.json', { ...PLAN, name: 'Other plan' });
  await page.waitForFunction(() => document.title.startsWith('Other plan'));
  await drawn(page);
  await openStage(page, 'fill');
  await watch(page);
  await forget.waitFor();
  assert.deepEqual(complaints, []);
  assert.deepEqual(await barriers(page), []);
  await context.close();
});

test('without a drawing the front is watched along a strip', async () => {
  const { part, fill, ...rest } = PLAN;
  const { context, page, complaints } = await board({ ...rest, name: 'A strip', part: { area_m2: 0.15, flow_length_mm: 500 } });
  await fold(page).locator('> summary').click();
  await watch(page);
  assert.equal(await button(page, 'Tap it on the picture').isVisible(), false);
  await page.getByLabel('Mark, from the feed').fill('120');
  await minute(page, '4');
  await button(page, 'The front is here').click();
  await minute(page, '58');
  await button(page, 'It is full').click();
  assert.deepEqual(await listed(page), ['120 mm after 4 min', 'Full after 58 min']);
  assert.deepEqual(await front(page), [{ min: 4, mm: 120 }, { min: 58, ended: true }]);
  await fold(page).locator('.told-marks .told').filter({ hasText: /resin runs/ }).waitFor();
  await page.reload();
  await ready(page);
  await whole(page);
  await openStage(page, 'fill');
  assert.equal((await listed(page)).length, 2, 'it is open where marks are');
  await button(page, 'Start anew').click();
  assert.equal(await front(page), undefined);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('on a shell a tap lies on its skin; a keyboard notes by the distance; offline it is read all the same', async () => {
  const { context, page, complaints } = await board(PLAN, { serviceWorkers: 'allow', reducedMotion: 'reduce' });
  await pictured(page);
  const flat = await view(page).getAttribute('data-min');
  await page.locator('#shape-file').setInputFiles({ name: 'dome.stl', mimeType: 'model/stl', buffer: await readFile(new URL('../cases/outlines/dome.stl', import.meta.url)) });
  await button(page, 'millimetres').click();
  await page.waitForFunction((old) => document.querySelector('canvas.board-view').dataset.min !== old, flat);
  await kept(page);
  await context.setOffline(true);
  await page.reload();
  await ready(page);
  await whole(page);
  await pictured(page);
  await fold(page).getByText('Watch the front', { exact: true }).press('Enter');
  await page.getByLabel('Mark, from the feed').fill('50');
  await minute(page, '2');
  await page.keyboard.press('Enter');
  await minute(page, '9');
  await button(page, 'Tap it on the picture').press('Enter');
  const box = await view(page).boundingBox();
  await page.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2);
  await hear(page, /^Noted: at x \d+, y \d+, z \d+\smm after 9\smin/);
  const [{ mm }, { at_mm: [x, y, z] }] = await front(page);
  assert.equal(mm, 50);
  // A dome of 200 mm.
  const away = Math.hypot(x - 200, y - 200, z);
  assert.ok(away > 175 && away < 203, `${[x, y, z]}`);
  await fold(page).locator('.told-marks .told').filter({ hasText: /mark/ }).waitFor();
  assert.deepEqual(complaints, []);
  await context.close();
});

test('in inches: sizes, lines, corners, marks and told places; the plan keeps millimetres', async () => {
  const { context, page, complaints } = await board({ ...PLAN, name: 'Inches', units: 'us' });
  await pictured(page);
  const length = page.getByLabel('Length', { exact: true }).first();
  assert.equal(await length.inputValue(), '19.69');
  await length.fill('24');
  await page.keyboard.press('Tab');
  assert.equal((await keptPlan(page)).part.shape.length_mm, 609.6);
  const width = page.getByLabel('Width', { exact: true }).first();
  for (const [typed, mm] of [['300 mm', 300], ['12 1/2', 317.5], ['12"', 304.8]]) {
    await width.fill(typed);
    await page.keyboard.press('Tab');
    assert.equal((await keptPlan(page)).part.shape.width_mm, mm, typed);
  }
  await width.fill('wide');
  await page.keyboard.press('Tab');
  await page.getByText('Type a number in inches, for example 24.').waitFor();
  assert.equal(await width.inputValue(), 'wide', 'it stays as typed');
  await width.fill('12 in');
  await page.keyboard.press('Tab');
  await page.getByLabel('Feed 1, point 2, x in inches').fill('2,5');
  await page.keyboard.press('Tab');
  assert.deepEqual((await keptPlan(page)).fill.lines[0].points_mm, [[0, 0], [63.5, 300]]);
  assert.match(await fold(page).textContent(), /Arrow keys move the chosen line by 0\.5\sin, with Shift by 0\.05\sin/);
  await view(page).focus();
  await page.keyboard.press('ArrowRight');
  assert.deepEqual((await keptPlan(page)).fill.lines[0].points_mm, [[12.7, 0], [76.2, 300]]);
  await watch(page);
  await page.getByLabel('Mark, from the feed').fill('4');
  await minute(page, '5');
  await button(page, 'The front is here').click();
  assert.deepEqual(await front(page), [{ min: 5, mm: 101.6 }]);
  assert.deepEqual(await listed(page), ['4 in after 5 min']);
  // Drawn by hand, on half inches.
  await page.getByLabel('Form of the part').selectOption('outline');
  for (const corner of [['0', '0'], ['20', '0'], ['20', '254 mm'], ['0', '10']]) {
    await page.getByLabel('Next corner, x in inches').fill(corner[0]);
    await page.getByLabel('Next corner, y in inches').fill(corner[1]);
    await page.keyboard.press('Enter');
  }
  await page.getByText('Corner 4 is at x 0, y 10 in.').waitFor();
  await page.getByRole('button', { name: 'Close the outline' }).click();
  assert.deepEqual((await keptPlan(page)).part.shape.points_mm, [[0, 0], [508, 0], [508, 254], [0, 254]]);
  // In millimetres again, the plan has not moved.
  await enter(page, 'units', 'metric');
  await openStage(page, 'fill');
  await fold(page).getByText('Corners of the outline').click();
  assert.equal(await page.getByLabel('Corner 3, x in millimetres').inputValue(), '508');
  assert.deepEqual(complaints, []);
  await context.close();
});

test('what was watched is on the paper, with the sheet no longer than before', async () => {
  const { context, page, complaints } = await board(LEARNED);
  const told = page.locator('#paper .paper-fill').getByText('Front: ', { exact: false }).first();
  await page.waitForFunction(() => /At x 200, y 150\smm after 15\smin/.test(document.querySelector('#paper .paper-fill')?.textContent ?? ''));
  assert.equal(await told.count(), 1);
  const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
  assert.ok((pdf.match(/\/Type\s*\/Page\b[^s]/g) ?? []).length <= 2);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('with the log open, nothing is too small for gloves or too wide for the page, in the dark', async () => {
  const { context, page, complaints } = await board(LEARNED, { colorScheme: 'dark', reducedMotion: 'reduce' });
  await fold(page).getByRole('button', { name: /^Keep for this cloth/ }).click();
  await fold(page).getByRole('button', { name: /^Forget it/ }).waitFor();
  for (const width of [320, 360]) {
    await page.setViewportSize({ width, height: 740 });
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth), 0);
  }
  const small = await fold(page).locator('.log, .tools').evaluateAll((all) => all.flatMap((one) => [...one.querySelectorAll('button, input, summary')]).filter((one) => one.checkVisibility()).flatMap((one) => {
    const { width, height } = one.getBoundingClientRect();
    return height < 47.5 || width < 47.5 ? [`${one.tagName} ${one.textContent} ${width} x ${height}`] : [];
  }));
  assert.deepEqual(small, []);
  assert.deepEqual(complaints, []);
  assert.deepEqual(await barriers(page), []);
  await context.close();
});
