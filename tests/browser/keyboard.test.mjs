// The whole way by keyboard alone: three entries, a stage, a figure's sources; the focus is always seen.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { at, drawn, ready, shop, strip, ticket, whole } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

/** What has the focus: its name, where it stands, how it shows, and what covers it. */
const focus = (page) => page.evaluate(() => {
  const element = document.activeElement;
  // A file entry lies unseen upon its own label, which shows the focus.
  const seen = element.matches('.file') ? element.closest('label') : element;
  const [box, style] = [seen.getBoundingClientRect(), getComputedStyle(seen)];
  const inFoot = element.closest('#foot') !== null;
  const foot = document.getElementById('foot').getBoundingClientRect();
  const middle = document.elementFromPoint(box.left + box.width / 2, Math.min(Math.max(box.top, 0) + 4, innerHeight - 1));
  return {
    name: element.id || element.getAttribute('aria-label') || element.textContent.trim().slice(0, 40), tag: element.tagName,
    outline: style.outlineStyle === 'none' ? 0 : Number.parseFloat(style.outlineWidth),
    contrast: style.outlineColor !== getComputedStyle(document.documentElement).backgroundColor,
    inView: box.width > 0 && box.bottom > 0 && box.top < innerHeight,
    covered: !inFoot && box.bottom > foot.top + 1,
    hidden: middle !== null && !seen.contains(middle) && !middle.contains(seen),
    inFoot, left: box.left + scrollX, top: box.top + scrollY, tabindex: element.tabIndex,
  };
});

/** Presses Tab and checks that the place it leads to can be seen. */
async function tab(page, key = 'Tab') {
  await page.keyboard.press(key);
  await page.evaluate(() => new Promise((done) => { requestAnimationFrame(() => requestAnimationFrame(done)); }));
  const now = await focus(page);
  assert.ok(now.outline >= 2 && now.contrast, `${now.name}: the focus cannot be seen`);
  assert.ok(now.inView, `${now.name}: out of view`);
  assert.equal(now.covered, false, `${now.name}: under the strip at the foot`);
  assert.equal(now.hidden, false, `${now.name}: under something`);
  return now;
}

/** Presses Tab until this has the focus. */
async function tabTo(page, name, { key = 'Tab', most = 120 } = {}) {
  for (let count = 0; count < most; count += 1) {
    const now = await tab(page, key);
    if (name instanceof RegExp ? name.test(now.name) : now.name === name) return now;
  }
  throw new Error(`${name} is not reached in ${most} steps`);
}

test('from the first key to a whole sheet, a stage and the sources of a figure', async () => {
  const { context, page, complaints } = await ticket(here, { reducedMotion: 'reduce' });
  assert.match((await tab(page)).name, /To the figures/, 'the first key offers the way past everything');
  await tabTo(page, 'begin with an empty ticket');
  await page.keyboard.press('Enter');
  await drawn(page);
  assert.equal((await focus(page)).name, 'at-part-area_m2');
  await page.keyboard.type('0,62');
  await tabTo(page, 'at-stack-0-fabric');
  await page.keyboard.type('2/2 twill flax, 2');
  await tabTo(page, 'at-stack-0-count');
  await page.keyboard.press('Control+A');
  await page.keyboard.type('3');
  await tabTo(page, /^One more/);
  await page.keyboard.press('Enter');
  await tabTo(page, 'at-resin');
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('ArrowUp');
  await drawn(page);
  assert.match(await at(page, 'stack.0.fabric').locator('option:checked').textContent(), /^2\/2 twill flax, 2/);
  assert.equal((await strip(page)).plies, '4');

  await tabTo(page, 'stage-dry-head');
  await page.keyboard.press('Space');
  assert.equal(await page.locator('#stage-dry-head').getAttribute('aria-expanded'), 'true');
  await tab(page);
  await page.keyboard.press('Enter');
  const panel = page.locator('#stage-dry .main-figure .panel');
  assert.equal(await panel.isVisible(), true);
  assert.match(await panel.innerText(), /Sources/);
  await tabTo(page, /^Sources of what went in|^Everything that went in/);
  await page.keyboard.press('Enter');
  assert.equal(await panel.locator('details[open]').count(), 1);

  // From a link in the sources to its entry, and from the strip to its stage.
  await panel.locator('a').first().focus();
  await page.keyboard.press('Enter');
  await drawn(page);
  const entry = await focus(page);
  assert.match(entry.tag, /INPUT|SELECT/);
  assert.equal(entry.covered || entry.hidden || !entry.inView, false, entry.name);
  await page.locator('#strip a').last().focus();
  await page.keyboard.press('Enter');
  await drawn(page);
  assert.equal((await focus(page)).name, 'stage-cure-head');
  assert.deepEqual(complaints, []);
  await context.close();
});

for (const viewport of [{ width: 360, height: 740 }, { width: 320, height: 560 }]) {
  test(`Tab goes down the ticket, each step in sight, and comes back up the same way (${viewport.width} wide)`, async () => {
    const { context, page } = await ticket(here, { viewport, reducedMotion: 'reduce' });
    await page.evaluate(() => ['dry', 'trim'].forEach((name) => document.getElementById(`stage-${name}-head`).click()));
    await drawn(page);
    const way = [];
    for (;;) {
      const now = await tab(page);
      if (now.tag === 'BODY' || now.inFoot) break;
      assert.ok(now.tabindex <= 0, `${now.name} jumps the queue`);
      way.push(now);
      assert.ok(way.length < 200, 'the way has no end');
    }
    assert.ok(way.length > 40, `${way.length} steps`);
    for (const [step, now] of way.entries()) {
      const last = way[step - 1];
      if (last && !/To the figures/.test(last.name)) {
        assert.ok(now.top > last.top - 12 || now.left > last.left, `after "${last.name}" the focus goes up to "${now.name}"`);
      }
    }
    for (const wanted of way.slice(-20).reverse()) assert.equal((await tab(page, 'Shift+Tab')).name, wanted.name);
    await context.close();
  });
}

test('the list of plans opens, closes with Escape and gives the focus back; a deleted plan comes back by key', async () => {
  const { context, page } = await ticket(here);
  await at(page, 'name').fill('Roof');
  await page.reload();
  await ready(page);
  await whole(page);
  await page.locator('#plans-button').focus();
  await page.keyboard.press('Enter');
  await page.locator('#plans').waitFor();
  await tabTo(page, /^Roof/);
  await page.keyboard.press('Escape');
  assert.equal((await focus(page)).name, 'plans-button');
  assert.equal(await page.locator('#plans').isVisible(), false);
  await page.keyboard.press('Enter');
  await page.locator('#plans').waitFor();
  await tabTo(page, 'Delete Roof');
  await page.keyboard.press('Enter');
  await page.locator('#plans .none').waitFor();
  assert.equal((await focus(page)).name, 'New plan', 'the focus is not lost with the last plan');
  await tabTo(page, 'Undo', { key: 'Shift+Tab' });
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: 'Delete Roof' }).waitFor();
  await context.close();
});
