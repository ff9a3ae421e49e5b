// A drawing file on a phone: a frame round the part, the part taken by one tap or by keys, and its area told.
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

const PLAN = {
  format: 1, name: 'From a file', route: 'infusion', resin: 'infusion_epoxy_slow',
  part: { area_m2: 0.5 },
  stack: [{ fabric: 'flax_twill_300', count: 4, angle_deg: 0 }],
  bag: { pressure_mbar_abs: 20 },
};

async function board(options = phone) {
  const opened = await ticket(here, { reducedMotion: 'reduce', ...options });
  const { page } = opened;
  await give(page, 'file.json', PLAN);
  await page.waitForFunction((title) => document.title.startsWith(title), PLAN.name);
  await drawn(page);
  await openStage(page, 'fill');
  await page.locator('.board-fold > summary').click();
  await page.locator('#shape-file').setInputFiles({ name: 'framed.dxf', mimeType: 'application/dxf', buffer: framed });
  await page.locator('.file-picture path').first().waitFor();
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
  const { context, page, complaints } = await board();
  await drawn(page);
  const before = await loops(page);
  const part = before.find(([, role]) => role === 'part');
  const other = before.find(([, role]) => role !== 'part');
  assert.ok(part && other, JSON.stringify(before));
  assert.ok(Math.abs(await area(page) / AREA - 1) > 0.1, 'what is likely is not the part');
  await page.locator('.file-picture').scrollIntoViewIfNeeded();
  await picture(page, 'file-before');
  assert.deepEqual(await squeezed(page), { out: [], small: [], scrolls: false });
  await page.touchscreen.tap(...await on(page, other[0]));
  await learns(page, AREA);
  await page.locator(`.file-picture path.part[data-key="${other[0]}"]`).waitFor({ state: 'attached' });
  await picture(page, 'file-after');
  await page.locator('.file-view details summary').click();
  assert.match(await page.locator('.file-view .board-rows li', { hasText: '(the part)' }).innerText(), /600\s*cm/);
  await page.locator('.file-view details').scrollIntoViewIfNeeded();
  await picture(page, 'file-list');
  assert.deepEqual(await squeezed(page), { out: [], small: [], scrolls: false });
  assert.deepEqual(await barriers(page), []);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('the same by keys alone, from the list', async () => {
  const { context, page, complaints } = await board({ viewport: { width: 360, height: 740 } });
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
