// Wrong turns on the drawing board: sizes that cannot be, lines beside the part, an undo after more was drawn, what is heard.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { barriers } from './lib.mjs';
import { drawn, give, hear, keptPlan, openStage, shop, ticket } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

const PLAN = {
  format: 1, name: 'Hands', route: 'infusion', resin: 'infusion_epoxy_slow',
  part: { area_m2: 0.3375, shape: { form: 'ell', length_mm: 900, width_mm: 700, arm_mm: 250 } },
  stack: [{ fabric: 'flax_twill_300', count: 4, angle_deg: 0 }],
  room: { temperature_c: 21 }, bag: { pressure_mbar_abs: 20 },
  fill: { lines: [{ does: 'feed', points_mm: [[120, 0], [120, 700]] }, { does: 'vent', points_mm: [[900, 0], [900, 250]] }] },
};

async function board(plan = PLAN, options = {}) {
  const opened = await ticket(here, { reducedMotion: 'reduce', ...options });
  await give(opened.page, 'hands.json', plan);
  await opened.page.waitForFunction((title) => document.title.startsWith(title), plan.name);
  await drawn(opened.page);
  await openStage(opened.page, 'fill');
  await opened.page.waitForSelector('canvas.board-view[data-min]');
  await opened.page.waitForFunction(() => document.querySelector('.board-fold .by-then'));
  return opened;
}

const fold = (page) => page.locator('.board-fold');
const view = (page) => page.locator('canvas.board-view');
const button = (page, name) => fold(page).getByRole('button', { name, exact: true });
const length = (page) => fold(page).getByLabel('Length', { exact: true });
const names = (page) => fold(page).locator('.board-rows strong').allTextContents();
/** What a screen reader is told of the board, once it says something like this. */
const told = (page, words) => fold(page).locator(':scope > .unseen[role="status"]', { hasText: words }).waitFor({ state: 'attached' });
/** The line under the length. */
const rule = (page) => length(page).evaluate((input) => getComputedStyle(input.closest('.well')).borderBottomStyle);
const focused = (page) => page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? document.activeElement?.textContent);

test('a size that cannot be is told at its entry, and the answer on show is said to be from before', async () => {
  const { context, page, complaints } = await board();
  for (const [typed, words] of [['0', /between 5 and 20/], ['abc', /you typed abc/], ['1e9', /between 5 and 20/], ['-5', /you typed -5/]]) {
    await length(page).fill(typed);
    await length(page).press('Enter');
    await fold(page).locator('.entry .under', { hasText: words }).waitFor();
    assert.equal(await length(page).getAttribute('aria-invalid'), 'true');
    assert.match(await fold(page).locator('.board-answer').innerText(), /From before/);
    assert.match(await view(page).getAttribute('aria-label'), /^Picture from before/);
  }
  assert.deepEqual(await barriers(page), []);
  assert.equal(await rule(page), 'double');
  await length(page).fill('800');
  await length(page).press('Enter');
  await page.waitForFunction(() => !document.querySelector('.board-answer.before'));
  assert.equal(await length(page).getAttribute('aria-invalid'), null);
  assert.equal(await fold(page).locator('.entry .under', { hasText: /\w/ }).count(), 0);
  assert.notEqual(await rule(page), 'double', 'nothing marks it any more');
  assert.match(await view(page).getAttribute('aria-label'), /^Picture of the fill/);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('a line beside the part or on an insert is told; one on it is not', async () => {
  const lines = [...PLAN.fill.lines, { does: 'feed', points_mm: [[600, 500], [850, 650]] }, { does: 'feed', points_mm: [[650, 125]] }, { does: 'vent', points_mm: [[0, 0], [0, 700]] }];
  const zones = [{ lies: 'insert', points_mm: [[560, 60], [740, 60], [740, 190], [560, 190]] }];
  const { context, page, complaints } = await board({ ...PLAN, fill: { lines, zones } });
  await told(page, /Feed 2 lies beside the part.*Feed 3 lies beside the part/);
  const notes = (await fold(page).locator(':scope > ul.notes').allInnerTexts()).join(' ');
  assert.match(notes, /Feed 2 lies beside the part/);
  assert.doesNotMatch(notes, /(Feed 1|Vent \d) lies beside/);
  await button(page, 'Take away Feed 2').press('Enter');
  await fold(page).locator(':scope > ul.notes li', { hasText: 'Feed 3 lies' }).waitFor({ state: 'detached' });
  await fold(page).locator(':scope > ul.notes li', { hasText: 'Feed 2 lies' }).waitFor();
  assert.deepEqual(complaints, []);
  await context.close();
});

test('the undo of a line that was taken away brings it back and leaves what was drawn since', async () => {
  const { context, page, complaints } = await board();
  await button(page, 'Take away Feed 1').press('Enter');
  await hear(page, 'Feed 1 is taken away.');
  await button(page, 'Vent').press('Enter');
  await button(page, 'One point in the middle').press('Enter');
  await page.locator('#say .said', { hasText: 'Feed 1 is taken away' }).getByRole('button', { name: 'Undo' }).click();
  const { lines } = (await keptPlan(page)).fill;
  assert.deepEqual(lines.slice(0, 2), PLAN.fill.lines);
  assert.equal(lines.length, 3, 'the vent drawn since is still there');
  await button(page, 'Undo').press('Enter');
  assert.equal((await keptPlan(page)).fill.lines.length, 2, 'the undo itself can be taken back');
  assert.deepEqual(complaints, []);
  await context.close();
});

test('the focus stays near a line that is taken away, each kind of zone is counted apart, and keys are heard', async () => {
  const zones = [{ lies: 'mesh', points_mm: [[200, 50], [500, 50], [500, 200], [200, 200]] }, { lies: 'insert', points_mm: [[650, 80], [750, 80], [750, 180], [650, 180]] }];
  const { context, page, complaints } = await board({ ...PLAN, fill: { ...PLAN.fill, zones } });
  assert.deepEqual(await names(page), ['Feed 1', 'Vent 1', 'Flow mesh 1', 'Insert 1']);
  await fold(page).getByLabel('Vent 1 is clamped once it is wet').waitFor();
  await view(page).focus();
  await page.keyboard.press('ArrowRight');
  await told(page, /^Feed 1: x 120, y 0/);
  await page.keyboard.press('ArrowRight');
  await told(page, /^Feed 1: x 130, y 0/);
  assert.equal((await keptPlan(page)).fill.lines[0].points_mm[0][0], 130);
  await button(page, 'Undo').press('Enter');
  await told(page, 'The last step is taken back.');
  await button(page, 'Take away Feed 1').press('Enter');
  assert.equal(await focused(page), 'Take away Vent 1');
  await page.keyboard.press('Enter');
  assert.match(await focused(page), /^Picture/);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('suggestions go when the part is another, and inches are read with feet', async () => {
  const { context, page, complaints } = await board({ ...PLAN, units: 'us' });
  await button(page, 'Suggest lines').click();
  await fold(page).getByRole('button', { name: /^Use these lines/ }).first().waitFor();
  await length(page).fill('3\' 6 1/2"');
  await length(page).press('Enter');
  await fold(page).getByRole('button', { name: /^Use these lines/ }).first().waitFor({ state: 'detached' });
  assert.equal((await keptPlan(page)).part.shape.length_mm, 1079.5);
  await length(page).fill('4\'');
  await length(page).press('Enter');
  await drawn(page);
  assert.equal((await keptPlan(page)).part.shape.length_mm, 1219.2);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('on a phone held sideways all of the picture is in view at once', async () => {
  const { context, page } = await board(PLAN, { viewport: { width: 740, height: 360 } });
  const { width, height } = await view(page).boundingBox();
  assert.ok(height < 300 && width > 250, `${width} by ${height}`);
  await context.close();
});
