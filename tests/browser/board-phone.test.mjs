// The board on a phone: a drawing file with a frame round the part, other cloth in a zone, a channel along an edge.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { after, before, test } from 'node:test';
import { barriers, phone } from './lib.mjs';
import { drawn, give, keptPlan, openStage, shop, ticket } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

// The part is 300 mm by 200 mm; the frame round it has neither a standard size nor a name.
const framed = await readFile(new URL('../cases/drawn/ez_frame_odd.dxf', import.meta.url));
const AREA = 0.06;
/** What is taken at first: the frame with the part as a hole in it. */
const TAKEN = 0.7 * 0.4 - AREA;

const PLAN = {
  format: 1, name: 'From a file', route: 'infusion', resin: 'infusion_epoxy_slow',
  part: { area_m2: 0.5 },
  stack: [{ fabric: 'flax_twill_300', count: 4, angle_deg: 0 }],
  bag: { pressure_mbar_abs: 20 },
};

async function fromFile(options = phone) {
  const opened = await ticket(here, { reducedMotion: 'reduce', ...options });
  const { page } = opened;
  await give(page, 'file.json', PLAN);
  await page.waitForFunction((title) => document.title.startsWith(title), PLAN.name);
  await drawn(page);
  await openStage(page, 'fill');
  await page.locator('.board-fold > summary').click();
  await page.locator('#shape-file').setInputFiles({ name: 'framed.dxf', mimeType: 'application/dxf', buffer: framed });
  await page.locator('.file-picture path').first().waitFor();
  // This file does not say what one unit of it is.
  await page.getByRole('button', { name: 'millimetres', exact: true }).press('Enter');
  await learns(page, TAKEN);
  return opened;
}

/** The area that the plan has come to. */
const area = async (page) => (await keptPlan(page)).part.area_m2;
/** Waits until the board has learned an area. */
async function learns(page, wanted) {
  for (let tries = 0; tries < 200; tries += 1) {
    if (Math.abs(await area(page) / wanted - 1) < 2e-3) return;
    await page.waitForTimeout(50);
  }
  assert.fail(`the area is ${await area(page)}, not ${wanted}`);
}

/** A place on the screen where a tap falls on a loop and on nothing over it. */
const on = (page, key) => page.evaluate((wanted) => {
  const path = document.querySelector(`.file-picture path[data-key="${wanted}"]`);
  path.scrollIntoView({ block: 'center' });
  const { left, top, width, height } = path.getBoundingClientRect();
  for (let u = 1; u < 20; u += 1) {
    for (let v = 1; v < 20; v += 1) {
      const [x, y] = [left + (width * u) / 20, top + (height * v) / 20];
      if (document.elementFromPoint(x, y) === path) return [x, y];
    }
  }
  return null;
}, key);

/** The loops with their roles, the likely part first. */
const loops = (page) => page.locator('.file-picture path').evaluateAll((paths) => paths.map((path) => [path.dataset.key, path.className.baseVal]));

/** What sticks out at the side, and what a finger would miss. */
const squeezed = (page) => page.locator('.board-fold').evaluate((fold) => {
  const wide = document.documentElement.clientWidth;
  const shown = [...fold.querySelectorAll('*')].filter((one) => one.checkVisibility() && !one.closest('svg') && !one.closest('.unseen'));
  const out = shown.filter((one) => one.getBoundingClientRect().right > wide + 0.5).map((one) => one.outerHTML.slice(0, 80));
  const targets = [...fold.querySelectorAll('button, select, input, summary')].filter((one) => one.checkVisibility() && !one.matches('.file'));
  const small = targets.flatMap((one) => {
    const { width, height } = (one.matches('[type="checkbox"], [type="radio"]') ? one.closest('label') ?? one : one).getBoundingClientRect();
    return height < 44 || width < 44 ? [`${one.outerHTML.slice(0, 80)}: ${Math.round(width)} by ${Math.round(height)}`] : [];
  });
  return { out, small, scrolls: document.documentElement.scrollWidth > wide };
});

const picture = async (page, name) => { if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/${name}.png`, fullPage: false }); };

test('a frame round the part: one tap on the part takes it, with its area', async () => {
  const { context, page, complaints } = await fromFile();
  const before = await loops(page);
  const part = before.find(([, role]) => role === 'part');
  const other = before.find(([, role]) => role !== 'part');
  assert.ok(part && other, JSON.stringify(before));
  await page.locator('.file-picture').scrollIntoViewIfNeeded();
  await picture(page, 'file-before');
  assert.deepEqual(await squeezed(page), { out: [], small: [], scrolls: false });
  await page.touchscreen.tap(...await on(page, other[0]));
  await learns(page, AREA);
  await page.locator(`.file-picture path.part[data-key="${other[0]}"]`).waitFor({ state: 'attached' });
  await picture(page, 'file-after');
  await page.locator('.file-view details summary').click();
  assert.match(await page.locator('.file-view .board-rows li', { hasText: '(the part)' }).innerText(), /0\.06\s*m²/);
  await page.locator('.file-view details').scrollIntoViewIfNeeded();
  await picture(page, 'file-list');
  assert.deepEqual(await squeezed(page), { out: [], small: [], scrolls: false });
  assert.deepEqual(await barriers(page), []);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('the same by keys alone, from the list', async () => {
  const { context, page, complaints } = await fromFile({ viewport: { width: 360, height: 740 } });
  await page.locator('.file-view details summary').focus();
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  await page.keyboard.press('ArrowDown');
  await learns(page, AREA);
  const focus = await page.evaluate(() => [document.activeElement?.closest('.file-view') !== null, document.activeElement?.checked]);
  assert.deepEqual(focus, [true, true], 'the focus stays on what was chosen');
  assert.deepEqual(complaints, []);
  await context.close();
});

const DRAWN = { ...PLAN, name: 'Zones', part: { area_m2: 0.5, shape: { form: 'rectangle', length_mm: 900, width_mm: 600 } }, fill: { lines: [{ does: 'feed', points_mm: [[0, 0], [0, 600]] }] } };

test('other cloth and a core in a zone, and a channel along an edge: drawn, told, kept, and nothing squeezed', async () => {
  const { context, page, complaints } = await ticket(here, { reducedMotion: 'reduce', ...phone });
  await give(page, 'zones.json', DRAWN);
  await page.waitForFunction((title) => document.title.startsWith(title), DRAWN.name);
  await drawn(page);
  await openStage(page, 'fill');
  await page.waitForSelector('canvas.board-view[data-min]');
  const fold = page.locator('.board-fold');
  const button = (name) => fold.getByRole('button', { name, exact: true });
  await button('Other cloth').tap();
  await button('Lay it in the middle').tap();
  // It has the cloths of the part until it is given others.
  assert.deepEqual((await keptPlan(page)).fill.zones[0].stack, PLAN.stack);
  await button('Add a cloth or core to Other cloth 1').tap();
  await fold.getByLabel('Other cloth 1, cloth or core 2').selectOption('balsa_10');
  await fold.getByLabel('Other cloth 1, row 2, plies').fill('1');
  await fold.getByLabel('Other cloth 1, row 2, plies').press('Enter');
  await fold.locator('dt', { hasText: 'Other cloth 1' }).waitFor({ state: 'attached' });
  await fold.locator(':scope > ul.notes li', { hasText: 'No resin runs in the core of a zone' }).waitFor();
  const { stack } = (await keptPlan(page)).fill.zones[0];
  assert.deepEqual(stack.map(({ fabric, count }) => [fabric, count]), [['flax_twill_300', 4], ['balsa_10', 1]]);
  await fold.getByLabel('Other cloth 1, cloth or core 2').scrollIntoViewIfNeeded();
  await picture(page, 'zone-rows');
  await button('Channel').tap();
  await button('Along the lower edge').tap();
  await fold.locator(':scope > ul.notes li', { hasText: 'Resin runs ahead in channel 1' }).waitFor();
  await fold.getByLabel('Channel 1, width in millimetres').fill('abc');
  await fold.getByLabel('Channel 1, width in millimetres').press('Enter');
  await fold.locator('.zone-stack .problem', { hasText: 'Type a number' }).waitFor();
  await fold.getByLabel('Channel 1, what it is').selectOption('corner');
  await fold.getByLabel('Channel 1, radius in millimetres').fill('8');
  await fold.getByLabel('Channel 1, radius in millimetres').press('Enter');
  await drawn(page);
  const channel = (await keptPlan(page)).fill.lines[1];
  assert.deepEqual([channel.does, channel.section, channel.width_mm], ['channel', 'corner', 8]);
  await page.locator('canvas.board-view').scrollIntoViewIfNeeded();
  await picture(page, 'channel');
  await fold.getByLabel('Channel 1, what it is').scrollIntoViewIfNeeded();
  await picture(page, 'channel-row');
  assert.deepEqual(await squeezed(page), { out: [], small: [], scrolls: false });
  assert.deepEqual(await barriers(page), []);
  // Suggested lines leave the channel on the part.
  await button('Suggest lines').tap();
  const use = fold.getByRole('button', { name: /^Use these lines/ });
  await use.first().waitFor();
  await use.first().tap();
  assert.ok((await keptPlan(page)).fill.lines.some(({ does }) => does === 'channel'));
  assert.deepEqual(complaints, []);
  await context.close();
});
