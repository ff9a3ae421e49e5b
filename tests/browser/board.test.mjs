// The drawing board of the fill: a part drawn with a finger, lines placed and dragged, by keyboard, offline and after a reload.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { after, before, test } from 'node:test';
import { barriers, kept } from './lib.mjs';
import { drawn, give, keptPlan, openStage, ready, shop, ticket, whole } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

const dome = await readFile(new URL('../cases/outlines/dome.stl', import.meta.url));

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

/** A finger that is put down, moved in steps and lifted; as a real one, it scrolls the page where the page lets it. */
async function finger(page, from, to, during = async () => {}) {
  const touches = await page.context().newCDPSession(page);
  const send = (type, at) => touches.send('Input.dispatchTouchEvent', { type, touchPoints: at ? [{ x: at[0], y: at[1] }] : [] });
  await send('touchStart', from);
  for (let k = 1; k <= 8; k += 1) await send('touchMove', [from[0] + ((to[0] - from[0]) * k) / 8, from[1] + ((to[1] - from[1]) * k) / 8]);
  await during();
  await send('touchEnd');
}

/** Waits for the words of the whole picture, so that nothing more is coming. */
const told = (page) => page.waitForFunction(() => document.querySelector('.board-fold .by-then'));

test('a finger drags a line up and down without moving the page, the answer follows, and the step is taken back', async () => {
  const { context, page, complaints } = await board({ ...PLAN, name: 'Finger', fill: { lines: [{ does: 'feed', points_mm: [[0, 20], [1800, 20]] }] } });
  await pictured(page);
  await told(page);
  const before = await minutes(page);
  const box = await view(page).boundingBox();
  const scale = Number(await view(page).getAttribute('data-scale'));
  const at = (y) => [box.x + box.width / 2, box.y + box.height - 30 - y * scale];
  await view(page).evaluate((canvas) => canvas.scrollIntoView({ block: 'center' }));
  const now = await view(page).boundingBox();
  const shift = now.y - box.y;
  await finger(page, [at(20)[0], at(20)[1] + shift], [at(400)[0], at(400)[1] + shift], async () => {
    await otherThan(page, before);
    assert.ok(Math.abs((await view(page).boundingBox()).y - now.y) < 2, 'the picture stays under the finger');
  });
  await page.waitForFunction((old) => Number(document.querySelector('canvas.board-view').dataset.min) < old / 2, before);
  const [[, y]] = (await keptPlan(page)).fill.lines[0].points_mm;
  assert.ok(Math.abs(y - 400) < 20, `${y}`);
  await page.locator('.board-fold').getByRole('button', { name: 'Undo', exact: true }).click();
  assert.deepEqual((await keptPlan(page)).fill.lines, [{ does: 'feed', points_mm: [[0, 20], [1800, 20]] }]);
  await page.waitForFunction((old) => Math.abs(Number(document.querySelector('canvas.board-view').dataset.min) - old) < 1e-6, before);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('with keys alone: an outline from typed corners that waits through a reload, a feed along a named edge, a vent, a zone', async () => {
  const { context, page, complaints } = await board({ ...PLAN, name: 'Keys', part: { area_m2: 0.5 }, fill: {} });
  await page.locator('.board-fold > summary').press('Enter');
  await page.getByLabel('Form of the part').selectOption('outline');
  const corner = async (x, y) => {
    await page.getByLabel('Next corner, x in millimetres').fill(String(x));
    await page.getByLabel('Next corner, y in millimetres').fill(String(y));
    await page.keyboard.press('Enter');
  };
  await corner(0, 0);
  await corner('600,5', 0);
  await page.reload();
  await ready(page);
  await whole(page);
  await openStage(page, 'fill');
  await page.locator('.board-fold > summary').press('Enter');
  await page.getByText('Corner 2 is at x 600.5, y 0 mm').waitFor();
  await corner(600, 400);
  await corner(0, 400);
  await page.getByRole('button', { name: 'Close the outline' }).press('Enter');
  await pictured(page);
  await told(page);
  let plan = await keptPlan(page);
  assert.deepEqual(plan.part.shape.points_mm, [[0, 0], [600.5, 0], [600, 400], [0, 400]]);
  assert.ok(Math.abs(plan.part.area_m2 - 0.2401) < 1e-9, `${plan.part.area_m2}`);
  assert.ok(plan.part.flow_length_mm > 0);
  const usual = await minutes(page);
  await page.getByRole('button', { name: 'Feed', exact: true }).press('Enter');
  await page.getByRole('button', { name: 'Along the lower edge' }).press('Enter');
  await otherThan(page, usual);
  await page.getByRole('button', { name: 'Vent', exact: true }).press('Enter');
  await page.getByRole('button', { name: 'Along the upper edge' }).press('Enter');
  await page.getByLabel('Vent 1, point 1, x in millimetres').waitFor();
  await page.getByRole('button', { name: 'Insert', exact: true }).press('Enter');
  await page.getByRole('button', { name: 'Lay it in the middle' }).press('Enter');
  plan = await keptPlan(page);
  assert.deepEqual(plan.fill.lines.map(({ does }) => does), ['feed', 'vent']);
  assert.ok(plan.fill.lines[0].points_mm.every(([, y]) => y === 0));
  assert.equal(plan.fill.zones[0].lies, 'insert');
  await page.getByRole('button', { name: 'Take away Vent 1' }).press('Enter');
  assert.equal((await keptPlan(page)).fill.lines.length, 1);
  await page.locator('#say').getByRole('button', { name: 'Undo' }).last().press('Enter');
  assert.equal((await keptPlan(page)).fill.lines.length, 2);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('the front is watched: the feed opens with a tap, marks are noted to the minute, and the figures know of it', async () => {
  const { context, page, complaints } = await board();
  await pictured(page);
  await page.locator('.board-fold').getByText('Watch the front').click();
  await page.getByRole('button', { name: 'The front is here' }).click();
  await page.getByText('Type how far the mark is').waitFor();
  await page.getByLabel('Mark, from the feed').fill('100');
  await page.getByRole('button', { name: 'The front is here' }).click();
  await page.getByText('Tap "The feed is open" when you open it').waitFor();
  const from = Date.now();
  await page.getByRole('button', { name: 'The feed is open' }).click();
  const opened = Date.parse((await keptPlan(page)).stamps['fill.front']);
  assert.ok(opened >= from && opened <= Date.now(), 'stamped when it was tapped');
  await page.getByRole('button', { name: 'The front is here' }).click();
  await page.getByLabel('Mark, from the feed').fill('200');
  await page.locator('[id="at-fill-front-min"]').fill('12');
  await page.keyboard.press('Enter');
  const { front } = (await keptPlan(page)).fill;
  assert.deepEqual(front.map(({ mm }) => mm), [100, 200]);
  assert.ok(front[0].min <= Math.ceil((Date.now() - from) / 3000) / 20 && front[1].min === 12, 'minutes since it opened, in steps of three seconds');
  await page.locator('.board-fold .told-marks .told').filter({ hasText: /^Your marks/ }).waitFor();
  await page.getByRole('button', { name: 'Take out the mark at 100 mm' }).click();
  assert.equal((await keptPlan(page)).fill.front.length, 1);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('on paper: three frames of the fill beside its table, on two sheets', async () => {
  const { context, page, complaints } = await board({ ...PLAN, name: 'On paper', part: { area_m2: 0.15, shape: { form: 'rectangle', length_mm: 500, width_mm: 300 } } });
  await page.waitForFunction(() => document.querySelectorAll('#paper .paper-frames img').length === 3);
  const frames = await page.locator('#paper .paper-frames img').evaluateAll((all) => all.map(({ src, alt }) => [src.slice(0, 22), src.length, alt]));
  assert.ok(frames.every(([start, length, alt]) => start === 'data:image/png;base64,' && length > 2000 && /^(After|Full)/.test(alt)));
  assert.equal(new Set(frames.map(([, length]) => length)).size, 3, 'they differ');
  const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
  assert.ok((pdf.match(/\/Type\s*\/Page\b[^s]/g) ?? []).length <= 2);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('a shell from a file: lines are laid on it, and it turns; without workers too', async () => {
  const { context, page, complaints } = await board(PLAN, { before: () => { globalThis.Worker = class { constructor() { throw new Error('none'); } }; } });
  await pictured(page);
  const before = await minutes(page);
  await page.locator('#shape-file').setInputFiles({ name: 'dome.stl', mimeType: 'model/stl', buffer: dome });
  await page.getByRole('button', { name: 'millimetres' }).click();
  await otherThan(page, before);
  await told(page);
  assert.equal((await keptPlan(page)).part.shape.form, 'shell');
  await page.getByRole('button', { name: 'Vent', exact: true }).click();
  await page.mouse.move(...await screen(page, [0.35, 0.5]));
  await page.mouse.down();
  await page.mouse.move(...await screen(page, [0.65, 0.5]), { steps: 4 });
  await page.mouse.up();
  const { points_mm: line } = (await keptPlan(page)).fill.lines.at(-1);
  assert.ok(line.length > 10);
  // A dome of 200 mm: every point of the line is near its skin.
  for (const [x, y, z] of line) {
    const away = Math.hypot(x - 200, y - 200, z);
    assert.ok(away > 175 && away < 201, `${[x, y, z]}`);
  }
  const picture_ = await view(page).evaluate((canvas) => canvas.toDataURL());
  await page.getByRole('button', { name: 'Turn left' }).click();
  assert.notEqual(await view(page).evaluate((canvas) => canvas.toDataURL()), picture_);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('a film only by hand for who wants stillness, nothing too small or too wide, in the dark', async () => {
  const { context, page, complaints } = await board(PLAN, { reducedMotion: 'reduce', colorScheme: 'dark' });
  await pictured(page);
  await told(page);
  await page.evaluate(() => document.querySelectorAll('.board-fold details').forEach((one) => { one.open = true; }));
  await page.getByRole('button', { name: 'Feed', exact: true }).click();
  assert.equal(await page.getByRole('button', { name: 'Play', exact: true }).isVisible(), false);
  for (const width of [320, 360]) {
    await page.setViewportSize({ width, height: 740 });
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth), 0);
  }
  const small = await page.locator('.board-fold').evaluate((fold) => [...fold.querySelectorAll('button, select, input, summary')].filter((one) => one.checkVisibility() && !one.matches('.file')).flatMap((one) => {
    const { width, height } = (one.type === 'checkbox' ? one.closest('label') : one).getBoundingClientRect();
    return height < 47.5 || width < 47.5 ? [`${one.tagName} ${one.textContent} ${width} x ${height}`] : [];
  }));
  assert.deepEqual(small, []);
  assert.deepEqual(complaints, []);
  assert.deepEqual(await barriers(page), []);
  await context.close();
});
