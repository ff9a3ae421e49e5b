// Dry and tight: the log of readings through reload and without a network, what it tells, charts, weighings, paper, handout.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { barriers, kept, open, serve, siteDir } from './lib.mjs';
import { answerTo, at, drawn, enter, give, hear, keptPlan, openAll, openStage, ready, shop, stages, ticket, whole } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

const { charts } = JSON.parse(await readFile(new URL('fixtures/damp.json', import.meta.url), 'utf8'));
const example = async (name) => JSON.parse(await readFile(join(siteDir, 'examples', `${name}.json`), 'utf8'));
const plain = (text) => text.replace(/[\s\u00a0\u202f]+/g, ' ').trim();

/** Water that comes to rest, read on a gauge of half a millibar. */
const WATER = [0, 1, 2, 3, 4, 5, 7, 9, 12, 15, 19, 24].map((min) => ({ min, reading: Math.round(2 * (15 + 7 * (1 - Math.exp(-min / 4)))) / 2 }));

/** The ticket with a plan on it, and its sheet. */
async function withPlan(plan, options) {
  const opened = await ticket(here, options);
  const { page } = opened;
  await give(page, 'plan.json', plan);
  await page.waitForFunction((title) => document.title.startsWith(title), plan.name);
  await drawn(page);
  const { sheet } = await answerTo(page, await keptPlan(page));
  return { ...opened, sheet };
}

async function withReadings(more = {}, options = {}) {
  const roof = await example('hive_roof');
  return withPlan({ ...roof, bag: { ...roof.bag, gauge_kind: 'mbar_absolute', gauge_step: 0.5, test: WATER, ...more.bag }, dry: { ...roof.dry, ...more.dry } }, options);
}

/** Notes one reading by hand. */
async function note(page, path, value, minute) {
  await at(page, `${path}.value`).fill(value);
  if (minute !== undefined) await at(page, `${path}.minute`).fill(minute);
  await at(page, `${path}.value`).press('Enter');
  await drawn(page);
}

const lines = (page, path) => page.locator(`#stage-${path.split('.')[0]} .one-reading`).evaluateAll((all) => all.map((one) => [...one.querySelectorAll('.when, .what')].map((part) => part.textContent.replace('\u00a0', ' '))));
const told = (page) => page.locator('#stage-bag .told').textContent();

test('a drop test typed by hand, through a reload and without a network, ends with the verdict and the figures of the core', async () => {
  const server = await serve(undefined, '/bench/');
  const { context, page, complaints } = await open(here.chromium, { url: server.url });
  await ready(page);
  await whole(page);
  await kept(page);
  await openStage(page, 'bag');
  for (const { min, reading } of WATER.slice(0, 5)) await note(page, 'bag.test', String(reading).replace('.', ','), String(min));
  assert.deepEqual((await keptPlan(page)).bag.test, WATER.slice(0, 5));
  await at(page, 'bag.test.value').fill('20,');
  await at(page, 'bag.test.minute').fill('5');

  await page.reload();
  await ready(page);
  await whole(page);
  assert.equal(await page.locator('#stage-bag-head').getAttribute('aria-expanded'), 'true');
  assert.deepEqual([await at(page, 'bag.test.value').inputValue(), await at(page, 'bag.test.minute').inputValue()], ['20,', '5'], 'what was not yet noted is there');
  await server.stop();
  for (const { min, reading } of WATER.slice(5, 8)) await note(page, 'bag.test', String(reading), String(min));
  await page.reload();
  await ready(page);
  await whole(page);
  for (const { min, reading } of WATER.slice(8)) await note(page, 'bag.test', String(reading), String(min));

  const plan = await keptPlan(page);
  assert.deepEqual(plan.bag.test, WATER);
  const { bag } = (await answerTo(page, plan)).sheet;
  assert.notEqual(bag.test.verdict, 'too_few');
  assert.equal(await told(page), bag.test.sentence);
  assert.equal(plain(await page.locator('#stage-bag .answer').textContent()), plain(bag.head.answer));
  const text = plain(await page.locator('#stage-bag').innerText());
  for (const sentence of [...bag.test.means, ...bag.test.next, bag.test.chart.sentence]) assert.ok(text.includes(plain(sentence)), sentence);
  for (const { name, text: share } of bag.test.shares) assert.ok(text.includes(`${name} ${share}`), name);
  const main = bag[bag.head.main].shown;
  assert.equal(plain(await page.locator('#stage-bag .main-figure .amount').textContent()), plain(`${main.likely}${main.unit === '%' ? '' : ' '}${main.unit}`));
  await page.locator('#stage-bag details:not(.working) > summary', { hasText: 'other gauges' }).click();
  const shown = plain(await page.locator('#stage-bag .gauges').innerText());
  for (const { name, text: reading, range } of bag.gauges) for (const words of [name, reading, range]) assert.ok(shown.includes(plain(words)), `${name}: ${words}`);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('the minute comes from the clock alone, whatever happened in between; one typed by hand overrides it', async () => {
  const begin = new Date('2026-05-04T09:00:00');
  const after_ = (minutes) => new Date(begin.getTime() + minutes * 60000);
  const { context, page, complaints } = await ticket(here);
  await page.clock.setFixedTime(begin);
  await openStage(page, 'bag');
  await note(page, 'bag.test', '20');
  await page.clock.setFixedTime(after_(2.5));
  await page.locator('#stage-bag').getByRole('button', { name: 'Note it' }).waitFor();
  await at(page, 'bag.test.value').fill('21');
  await page.locator('#stage-bag').getByRole('button', { name: 'Note it' }).click();
  await drawn(page);
  assert.equal(await at(page, 'bag.test.value').evaluate((input) => input === document.activeElement && input.value === ''), true, 'ready for the next one');
  await page.reload();
  await ready(page);
  await whole(page);
  await page.clock.setFixedTime(after_(7));
  await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
  assert.match(await page.locator('#stage-bag .since').textContent(), /^7.min since the start at 9:00/);
  await note(page, 'bag.test', '23');
  await note(page, 'bag.test', '22', '4,5');
  await page.clock.setFixedTime(after_(200));
  await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
  assert.match(await page.locator('#stage-bag .since').textContent(), /^3.h 20.min since/);
  const plan = await keptPlan(page);
  assert.deepEqual(plan.bag.test, [{ min: 0, reading: 20 }, { min: 2.5, reading: 21 }, { min: 7, reading: 23 }, { min: 4.5, reading: 22 }]);
  assert.equal(plan.stamps['bag.test'], begin.toISOString());
  assert.deepEqual(await lines(page, 'bag.test'), [['7 min', '23 mbar'], ['4.5 min', '22 mbar'], ['2.5 min', '21 mbar'], ['0 min', '20 mbar']]);
  // A clock that was set back cannot tell the minute.
  await page.clock.setFixedTime(after_(-60));
  await note(page, 'bag.test', '24');
  assert.match(await page.locator('#at-bag-test-under').textContent(), /Type the minute too/);
  assert.equal((await keptPlan(page)).bag.test.length, 4);
  assert.equal(await at(page, 'bag.test.value').inputValue(), '24');
  assert.deepEqual(complaints, []);
  await context.close();
});

test('a text that is no reading stays with its sentence; a reading is changed, taken out and brought back; a new start can be undone', async () => {
  const { context, page, complaints } = await ticket(here);
  await openStage(page, 'bag');
  await note(page, 'bag.test', '20 or so', '0');
  assert.equal(await at(page, 'bag.test.value').inputValue(), '20 or so');
  assert.equal(await at(page, 'bag.test.value').getAttribute('aria-invalid'), 'true');
  const sentence = await page.locator('#at-bag-test-under').textContent();
  assert.ok(sentence.length > 10 && !/error|invalid/i.test(sentence), sentence);
  assert.equal((await keptPlan(page))?.bag?.test, undefined);
  await note(page, 'bag.test', '20', '0');
  await note(page, 'bag.test', '25', '1');
  await note(page, 'bag.test', '22', '2');

  await page.locator('.one-reading').nth(1).click();
  await at(page, 'bag.test.new-value').fill('21 maybe');
  await at(page, 'bag.test.new-value').press('Enter');
  assert.equal(await at(page, 'bag.test.new-value').inputValue(), '21 maybe');
  assert.ok((await page.locator('.changing .under').textContent()).length > 10);
  await at(page, 'bag.test.new-value').fill('21');
  await page.getByRole('button', { name: 'Keep this' }).click();
  const three = [{ min: 0, reading: 20 }, { min: 1, reading: 21 }, { min: 2, reading: 22 }];
  assert.deepEqual((await keptPlan(page)).bag.test, three);

  await page.locator('.one-reading').first().click();
  await page.getByRole('button', { name: 'Take it out' }).click();
  await drawn(page);
  assert.deepEqual((await keptPlan(page)).bag.test, three.slice(0, 2));
  await note(page, 'bag.test', '23', '3');
  await page.locator('#say').getByRole('button', { name: 'Undo' }).click();
  assert.deepEqual((await keptPlan(page)).bag.test, [...three, { min: 3, reading: 23 }], 'what was noted since stays');

  await page.getByRole('button', { name: 'Start anew' }).click();
  await hear(page, 'put away');
  const { bag, stamps } = await keptPlan(page);
  assert.deepEqual([bag?.test, stamps?.['bag.test']], [undefined, undefined]);
  await note(page, 'bag.test', '19');
  await page.locator('#say').getByRole('button', { name: 'Undo' }).click();
  assert.equal((await keptPlan(page)).bag.test.length, 4);
  await hear(page, 'The earlier readings are back');
  await page.locator('#say').getByRole('button', { name: 'Undo' }).click();
  assert.equal((await keptPlan(page)).bag.test.length, 1);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('by keyboard alone: note, go back to a reading, change it, leave it, and the focus is never lost', async () => {
  const { context, page, complaints } = await ticket(here, { reducedMotion: 'reduce' });
  const focused = () => page.evaluate(() => document.activeElement.id || document.activeElement.textContent);
  async function tabTo(name, key = 'Tab') {
    for (let step = 0; step < 150; step += 1) {
      await page.keyboard.press(key);
      if (name.test(await focused())) return;
    }
    throw new Error(`${name} is not reached`);
  }
  await tabTo(/^stage-bag-head$/);
  await page.keyboard.press('Enter');
  await drawn(page);
  await tabTo(/^at-bag-test-value$/);
  await page.keyboard.type('20,5');
  await page.keyboard.press('Enter');
  await drawn(page);
  assert.equal(await focused(), 'at-bag-test-value');
  await page.keyboard.type('21');
  await tabTo(/^at-bag-test-minute$/);
  await page.keyboard.type('2');
  await tabTo(/^Note it$/);
  await page.keyboard.press('Enter');
  await drawn(page);
  assert.equal(await focused(), 'at-bag-test-value');
  assert.match(await page.locator('#stage-bag [role="status"]').first().textContent(), /21 mbar at minute 2/);
  await tabTo(/^at-bag-test-1$/);
  await page.keyboard.press('Enter');
  assert.equal(await focused(), 'at-bag-test-new-value');
  await page.keyboard.press('Control+A');
  await page.keyboard.type('21,5');
  await page.keyboard.press('Enter');
  await drawn(page);
  assert.equal(await focused(), 'at-bag-test-1');
  await page.keyboard.press('Enter');
  await page.keyboard.press('Control+A');
  await page.keyboard.type('99');
  await page.keyboard.press('Escape');
  assert.equal(await focused(), 'at-bag-test-1');
  assert.deepEqual((await keptPlan(page)).bag.test, [{ min: 0, reading: 20.5 }, { min: 2, reading: 21.5 }]);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('a reading far off the others is flagged beside it, in words, and drawn as such', async () => {
  const { context, page, sheet } = await withReadings({ bag: { test: WATER.map((one) => (one.min === 5 ? { min: 5, reading: 51 } : one)) } });
  assert.equal(sheet.bag.test.chart.marks.filter(({ doubtful }) => doubtful).length, 1);
  await openStage(page, 'bag');
  await page.locator('.chart-view').first().waitFor();
  await page.locator('#stage-bag summary', { hasText: 'earlier readings' }).click();
  assert.deepEqual(await page.locator('.one-reading:has(.doubt) .when').allTextContents(), ['5\u00a0min']);
  assert.match(await page.locator('.one-reading .doubt').textContent(), /far off the others: mistyped\?/);
  assert.equal(await page.locator('#stage-bag .mark-dot.doubtful').count(), 1);
  assert.match((await page.locator('#stage-bag .chart-view text').allTextContents()).join(' '), /51 ↑ mistyped\?/);
  await page.locator('#at-bag-test-5').click();
  await at(page, 'bag.test.new-value').fill('20');
  await at(page, 'bag.test.new-value').press('Enter');
  await drawn(page);
  assert.equal(await page.locator('#stage-bag .doubt').count(), 0);
  await context.close();
});

test('weighings in ounces are kept in grams; what they tell stands beside them', async () => {
  const roof = await example('hive_roof');
  const { context, page, complaints } = await withPlan({ ...roof, units: 'us' });
  await openStage(page, 'dry');
  assert.equal(await page.locator('#at-dry-weighings-value-unit').textContent(), 'oz');
  for (const [value, minute] of [['28.6', '0'], ['28,0', '20'], ['27.5', '40']]) await note(page, 'dry.weighings', value, minute);
  const plan = await keptPlan(page);
  assert.deepEqual(plan.dry.weighings.map(({ min }) => min), [0, 20, 40]);
  plan.dry.weighings.forEach(({ g }, place) => assert.ok(Math.abs(g - [28.6, 28, 27.5][place] * 28.349523125) < 1e-6, String(g)));
  assert.deepEqual((await lines(page, 'dry.weighings')).map(([, what]) => what), ['27.5 oz', '28 oz', '28.6 oz']);
  const { sheet } = await answerTo(page, plan);
  assert.equal(plain(await page.locator('#stage-dry .told').textContent()), plain(sheet.dry.weighed.sentence));
  await page.locator('#stage-dry summary', { hasText: 'Each weighing' }).click();
  const rows = await page.locator('#stage-dry table', { hasText: 'Your weighings' }).locator('tbody tr').evaluateAll((all) => all.map((row) => row.textContent));
  sheet.dry.weighed.lines.forEach(({ minute, mass, regain, expected }, place) => { for (const words of [minute, mass, regain, expected]) assert.ok(rows[place].includes(words), words); });
  assert.deepEqual(complaints, []);
  await context.close();
});

test('oven and bag side by side, waits and findings with their sources are all there; the air of a tight oven is asked only then', async () => {
  const { context, page, sheet } = await withReadings();
  await openAll(page);
  await page.locator('.ways li').first().waitFor();
  await openAll(page);
  const { dry } = sheet;
  const ways = await page.locator('.ways > li').allTextContents();
  assert.equal(ways.length, dry.ways.length);
  dry.ways.forEach(({ name, time, reaches, after: when, held_back: held }, place) => {
    for (const words of [name, time?.text ?? 'never', time?.range ?? '', reaches.text, reaches.range, when, held]) assert.ok(ways[place].includes(words), `${name}: ${words}`);
  });
  const text = plain(await page.locator('#stage-dry').innerText());
  for (const { name, time } of dry.waits) assert.ok(text.includes(plain(name)) && text.includes(plain(time.text)), name);
  for (const { says, source } of dry.published) {
    assert.ok(text.includes(plain(says)), says);
    assert.ok(text.includes(plain(sheet.sources.find(({ key }) => key === source).author)), source);
  }
  assert.equal(await at(page, 'dry.oven_l').isVisible(), false);
  await at(page, 'dry.closed').check();
  await drawn(page);
  assert.equal(await at(page, 'dry.oven_l').isVisible(), true);
  // The bag's own entries stand in its stage, those for every day in view.
  assert.equal(await page.locator('#stage-bag [id="at-bag-syringe_ml"]').count(), 1);
  assert.equal(await page.locator('#bag [id="at-bag-gauge_kind"]').count(), 1);
  await context.close();
});

/** Texts of a drawing that lie upon each other. */
const collisions = (drawing) => drawing.evaluate((svg) => {
  const texts = [...svg.querySelectorAll('text')].map((one) => ({ text: one.textContent, box: one.getBoundingClientRect() }));
  const [left, right] = [svg.getBoundingClientRect().left, svg.getBoundingClientRect().right];
  return [
    ...texts.filter(({ box }) => box.left < left - 1 || box.right > right + 1).map(({ text }) => `${text} runs out`),
    ...texts.flatMap((one, place) => texts.slice(place + 1).filter(({ box }) => one.box.left < box.right - 1 && box.left < one.box.right - 1 && one.box.top < box.bottom - 2 && box.top < one.box.bottom - 2)
      .map(({ text }) => `${one.text} on ${text}`)),
  ];
});

test('charts: to scale, told in words, every number of the drawing in the table, and no word on another at any width', async () => {
  const { context, page, sheet } = await withReadings({ dry: { weighings: [{ min: 0, g: 812 }, { min: 20, g: 795 }, { min: 35, g: 784 }] } });
  await openAll(page);
  await page.locator('#stage-dry .chart-view').first().waitFor();
  await openAll(page);
  await page.locator('#stage-dry .chart-view').nth(1).waitFor();
  const seen = [['bag', 0, sheet.bag.test.chart], ['dry', 0, sheet.dry.curve], ['dry', 1, sheet.dry.isotherm]];
  for (const width of [320, 360, 640, 1100]) {
    await page.setViewportSize({ width, height: 740 });
    await page.waitForTimeout(120);
    for (const [stage, place, { label }] of seen) assert.deepEqual(await collisions(page.locator(`#stage-${stage} .chart-view`).nth(place)), [], `${label} at ${width}`);
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
  }
  for (const [stage, place, chart] of seen) {
    const figure = page.locator(`#stage-${stage} .chart`).nth(place);
    const drawing = figure.locator('.chart-view');
    assert.equal(await drawing.getAttribute('aria-label'), `${chart.label}. ${chart.sentence}`);
    const table = plain(await figure.locator('details').innerText());
    for (const row of chart.table.rows) for (const cell of row) assert.ok(table.includes(plain(cell)), cell);
    for (const { name } of chart.levels) assert.ok(table.includes(plain(name)), name);
    // Twice as far along is twice as far across, for points and for curves.
    const dots = await drawing.locator('.mark-dot').evaluateAll((all) => all.map((dot) => [Number(dot.getAttribute('cx')), Number(dot.getAttribute('cy'))]));
    assert.equal(dots.length, chart.marks.length);
    const path = (await drawing.locator('.likely-line').first().getAttribute('d')).match(/[\d.]+ [\d.]+/g).map((pair) => pair.split(' ').map(Number));
    const likely = chart.lines.find((line) => line.likely).points;
    assert.ok(path.length === likely.length || path.length === likely.length + 1);
    const [[x0, y0], [x1, y1]] = [path[0], path[likely.length - 1]];
    const [first, last] = [likely[0], likely.at(-1)];
    const scale = ([across, up]) => [x0 + ((x1 - x0) * (across - first[0])) / (last[0] - first[0]), y0 + ((y1 - y0) * (up - first[1])) / (last[1] - first[1])];
    for (const [drawn_, meant] of [...likely.map((point, one) => [path[one], point]), ...chart.marks.map(({ at: point }, one) => [dots[one], point])]) {
      const [x, y] = scale(meant);
      assert.ok(Math.abs(x - drawn_[0]) < 0.7 && Math.abs(y - drawn_[1]) < 0.7, `${chart.label}: ${meant} at ${drawn_}, wanted ${x} ${y}`);
    }
  }
  await context.close();
});

test('charts that are hard to draw: a mistyped reading, a level far off, names close together', async () => {
  const { context, page } = await ticket(here);
  for (const width of [290, 330, 700]) {
    const host = await page.evaluateHandle(async ([given, wide]) => {
      const { chartOf } = await import(new URL('chart.js', document.baseURI));
      const place = document.createElement('div');
      document.querySelector('main').prepend(place);
      place.style.width = `${wide}px`;
      place.append(...given.map((chart) => chartOf(chart, wide)));
      return place;
    }, [Object.values(charts), width]);
    for (const drawing of await host.$$('svg')) assert.deepEqual(await collisions(drawing), [], `at ${width}`);
    const texts = await host.evaluate((place) => place.textContent);
    assert.match(texts, /42\.9 ↑ mistyped\?/);
    assert.doesNotMatch(texts, /air of the shop/, 'a level that far off is not drawn');
    await host.evaluate((place) => place.remove());
  }
  const view = await page.evaluate(async (chart) => {
    const { chartView } = await import(new URL('chart.js', document.baseURI));
    const made = chartView();
    made.update(chart);
    return made.el.textContent;
  }, charts.test);
  assert.match(view, /air of the shop: 985.mbar, beyond the drawing/);
  await context.close();
});

test('nothing runs out at 320 pixels and nothing keeps people out: light, dark, US units, a reading open for a change', async () => {
  for (const [colorScheme, units] of [['light', 'metric'], ['dark', 'us']]) {
    const { context, page, complaints } = await withReadings({ dry: { weighings: [{ min: 0, g: 812 }, { min: 30, g: 20 }, { min: 35, g: 784 }] } }, { viewport: { width: 320, height: 640 }, colorScheme, reducedMotion: 'reduce' });
    await enter(page, 'units', units);
    await openAll(page);
    await page.locator('#stage-dry .chart-view').first().waitFor();
    await page.locator('#at-bag-test-3').click();
    await openAll(page);
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 320);
    const small = await page.locator('.log').evaluateAll((logs) => logs.flatMap((log) => [...log.querySelectorAll('button, input')].filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < 47.5).map((one) => one.id || one.textContent)));
    assert.deepEqual(small, []);
    assert.deepEqual(await barriers(page), [], colorScheme);
    assert.deepEqual(complaints, []);
    await context.close();
  }
});

test('while the hands type, the figures from before stay, marked as being worked out', async () => {
  const { context, page } = await withReadings({ dry: { weighings: [{ min: 0, g: 812 }, { min: 20, g: 795 }, { min: 35, g: 784 }] } });
  await openStage(page, 'bag');
  const seen = await page.evaluate(async () => {
    const out = new Set();
    const input = document.getElementById('at-part-area_m2');
    for (const text of ['0.6', '0.61', '0.62']) {
      input.value = text;
      input.dispatchEvent(new Event('input', { bubbles: true }));
      for (let frame = 0; frame < 3; frame += 1) {
        await new Promise((done) => { requestAnimationFrame(done); });
        out.add(document.documentElement.dataset.sheet);
        out.add(document.getElementById('stage-bag').hidden);
        out.add(Boolean(document.querySelector('#stage-bag .told')?.textContent));
      }
    }
    return [...out].map(String).sort();
  });
  await drawn(page);
  assert.deepEqual(seen.filter((one) => !['all', 'waiting'].includes(one)), ['false', 'true']);
  assert.ok(seen.includes('waiting'));
  await context.close();
});

test('the stage comes with the bag and goes without one', async () => {
  const { context, page } = await ticket(here);
  assert.ok((await stages(page)).includes('bag'));
  const routes = await at(page, 'route').locator('option').evaluateAll((all) => all.map(({ value }) => value));
  for (const route of routes) {
    await enter(page, 'route', route);
    const { sheet } = await answerTo(page, await keptPlan(page));
    assert.equal((await stages(page)).includes('bag'), sheet.bag !== null, route);
  }
  await context.close();
});

for (const name of ['hive_roof', 'paddle_blade', 'stall_counter']) {
  test(`${name} with readings and weighings still fits on two sheets, with charts, boxes to tick and room to write`, async () => {
    const bare = await example(name);
    const first = await ticket(here);
    const now = (await answerTo(first.page, bare)).sheet.dry.weigh_now_g.likely;
    await first.context.close();
    const plan = { ...bare, bag: { ...bare.bag, gauge_kind: 'mbar_absolute', test: WATER.slice(0, 9) }, dry: { ...bare.dry, weighings: [[0, 1], [20, 0.985], [35, 0.97]].map(([min, part]) => ({ min, g: Math.round(now * part) })) } };
    const { context, page, sheet } = await withPlan(plan);
    await page.waitForFunction((title) => document.querySelector('#paper h1')?.textContent === title && document.querySelector('#paper .address'), plan.name);
    await page.waitForTimeout(600);
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    assert.ok((pdf.match(/\/Type\s*\/Page\b[^s]/g) ?? []).length <= 2, 'at most two sheets');
    await page.emulateMedia({ media: 'print' });
    const text = plain(await page.locator('#paper').innerText());
    for (const words of [sheet.bag.head.answer, sheet.bag.test.sentence, ...sheet.bag.test.next, sheet.dry.head.answer, sheet.dry.weighed.sentence]) assert.ok(text.includes(plain(words)), words);
    for (const stage of ['bag', 'dry']) {
      assert.equal(await page.locator(`#paper .paper-${stage} .chart-view`).isVisible(), true);
      assert.deepEqual(await collisions(page.locator(`#paper .paper-${stage} .chart-view`)), []);
    }
    assert.equal(await page.locator('#paper .paper-bag .tick').count() >= sheet.bag.test.next.length + 1, true);
    assert.deepEqual((await page.locator('#paper .paper-bag .paper-log td').allTextContents()).filter(Boolean).length, 18);
    assert.ok((await page.locator('#paper .paper-dry .paper-log td').allTextContents()).filter((cell) => cell === '').length >= 12, 'blank lines');
    await context.close();
  });
}

test('the handout: the bag with a drop test, and an entry of its own', async () => {
  const roof = await example('hive_roof');
  const plan = { ...roof, bag: { ...roof.bag, gauge_kind: 'mbar_absolute', test: WATER } };
  const { context, page, complaints } = await open(here.chromium, { url: `${here.url}frame.html?stage=bag&open=bag.test_c,dry.pump_m3_h&plan=${encodeURIComponent(JSON.stringify(plan))}`, serviceWorkers: 'block' });
  await page.waitForFunction(() => [...document.querySelectorAll('bast-work')].every(({ shadowRoot }) => shadowRoot?.querySelector('.answer')?.textContent));
  const element = page.locator('bast-work');
  const { sheet } = await answerTo(page, plan).catch(() => ({ sheet: null }));
  if (sheet) assert.equal(plain(await element.locator('.told').textContent()), plain(sheet.bag.test.sentence));
  assert.equal(await element.locator('.chart-view').isVisible(), true);
  assert.equal(await element.locator('.gauges tbody tr').count() >= 6, true);
  const before = await element.locator('.answer').textContent();
  await element.getByLabel('Temperature of the mould when the test began').fill('19');
  assert.doesNotMatch(await element.textContent(), /no entry of Bastwork/);
  assert.ok(before.length > 10);
  assert.deepEqual(complaints, []);
  assert.deepEqual(await barriers(page), []);
  await context.close();

  const other = await open(here.chromium, { url: `${here.url}frame.html?stage=dry&open=dry.vacuum_h`, serviceWorkers: 'block' });
  await other.page.locator('bast-work').getByLabel('Time under full vacuum before resin').waitFor();
  assert.doesNotMatch(await other.page.locator('bast-work').textContent(), /no entry of Bastwork/);
  await other.context.close();
});
