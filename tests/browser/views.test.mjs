// What stages show beyond their figures: suit, the stack in section, directions, loads, working back, prices and stock.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { join as joined } from '../../site/page/ownshelf.js';
import { barriers, siteDir } from './lib.mjs';
import { answerTo, at, drawn, enter, give, hear, keptPlan, openAll, openStage, shop, stages, ticket } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

const back = JSON.parse(await readFile(new URL('fixtures/back.json', import.meta.url), 'utf8'));

/** The ticket with one of the examples on it, and its sheet. */
async function withPlan(name, options) {
  const opened = await ticket(here, options);
  const { page } = opened;
  const plan = JSON.parse(await readFile(join(siteDir, 'examples', `${name}.json`), 'utf8'));
  await give(page, `${name}.json`, plan);
  await page.waitForFunction((title) => document.title.startsWith(title), plan.name);
  await drawn(page);
  const { sheet } = await answerTo(page, await keptPlan(page));
  return { ...opened, sheet };
}

/** Opens a stage and waits for its views. */
async function openDeep(page, name, view) {
  await openStage(page, name);
  await page.locator(view).first().waitFor({ state: 'attached' });
  await drawn(page);
}

const CELLS = ['mass', 'thickness', 'fibre', 'resin', 'fossil', 'stored', 'end_of_life', 'cost', 'damping', 'strength'];

test('suit comes first: the verdict, what is held equal, and every figure of every material on one scale', async () => {
  const { context, page, sheet, complaints } = await withPlan('hive_stand');
  const { suit } = sheet;
  assert.equal((await stages(page))[0], 'suit');
  await openDeep(page, 'suit', '.material');
  const text = await page.locator('#stage-suit').innerText();
  for (const sentence of [...suit.verdict, suit.basis, ...suit.footing]) assert.ok(text.includes(sentence), sentence);

  await page.locator('#suit-compare').selectOption('all');
  await drawn(page);
  const seen = await page.locator('.material').evaluateAll((all) => all.map((one) => ({
    text: one.innerText,
    cells: [...one.querySelectorAll('.cell:not([hidden])')].map((cell) => [cell.querySelector('.text').textContent, cell.querySelector('.range').textContent,
      Number(cell.querySelector('circle')?.getAttribute('cx') ?? 0)]),
  })));
  assert.equal(seen.length, suit.rows.length);
  suit.rows.forEach((row, place) => {
    const { text: block, cells } = seen[place];
    for (const words of [row.this ? 'Your stack' : row.name, row.build, row.looks, row.damp]) assert.ok(block.includes(words), `${row.key}: ${words}`);
    const wanted = CELLS.filter((name) => row[name] || name === 'stored').map((name) => (row[name] ? [row[name].text, row[name].range] : ['none', '']));
    assert.deepEqual(cells.map(([amount, range]) => [amount, range]), wanted, row.key);
  });
  // Lengths compare down the page: the dots stand as the likely values do.
  const dots = suit.rows.map((row, place) => [row.mass.likely, seen[place].cells[0][2]]);
  const [[mass, dot], ...others] = dots;
  for (const [other, place] of others) assert.ok(Math.abs((place - 3) / (dot - 3) - other / mass) < 0.02, `${other} beside ${mass}`);

  // Carbon is three lines for each material, never one sum.
  await page.locator('#suit-compare').selectOption('carbon');
  await drawn(page);
  const lines = await page.locator('.material').evaluateAll((all) => all.map((one) => [...one.querySelectorAll('.cell:not([hidden]) dt')].map((label) => label.textContent)));
  for (const labels of lines) assert.deepEqual(labels, ['Fossil carbon', 'Held in the fibre', 'Given off when burnt']);

  // One figure: one line for each material.
  await page.locator('#suit-compare').selectOption('damping');
  await drawn(page);
  assert.equal(await page.locator('.material .cell:visible').count(), suit.rows.length);

  await page.locator('#stage-suit details:not(.stock) > summary').click();
  const ratios = await page.locator('.ratios').innerText();
  for (const { label, text: figure, published, agrees } of suit.ratios) for (const words of [label, figure, published, agrees]) assert.ok(ratios.includes(words), words);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('what counts most and what is held equal change the answer', async () => {
  const { context, page, sheet } = await withPlan('hive_stand');
  await enter(page, 'suit.equal', 'strength');
  const { sheet: other } = await answerTo(page, await keptPlan(page));
  assert.notEqual(other.suit.basis, sheet.suit.basis);
  await page.locator('.material').first().waitFor();
  assert.equal(await page.locator('.basis').textContent(), other.suit.basis);
  await enter(page, 'part.matters', 'footprint');
  assert.equal((await keptPlan(page)).part.matters, 'footprint');
  await context.close();
});

test('the section is drawn to scale, ply by ply, and tells itself in words', async () => {
  const { context, page, sheet } = await withPlan('paddle_blade');
  await openDeep(page, 'stack', '.section-view');
  const bands = await page.locator('#stage-stack .section-view .band').evaluateAll((all) => all.map((band) => [Number(band.getAttribute('y')), Number(band.getAttribute('height'))]));
  const { plies } = sheet.stack;
  assert.equal(bands.length, plies.length);
  const full = plies.at(-1).top_mm.likely;
  const tall = bands.reduce((sum, [, height]) => sum + height, 0);
  plies.forEach(({ top_mm: top }, place) => {
    const thick = top.likely - (plies[place - 1]?.top_mm.likely ?? 0);
    assert.ok(Math.abs(bands[place][1] / tall - thick / full) < 0.01, `ply ${place + 1}`);
    if (place) assert.ok(bands[place][0] < bands[place - 1][0], 'the mould is below');
  });
  const said = await page.locator('#stage-stack .section-view').getAttribute('aria-label');
  const words = (await page.locator('#stage-stack .section-view .beside').allTextContents()).join(' ').replace(/\s/g, '');
  for (const { name, angle_deg: angle } of plies) {
    assert.ok(said.includes(name) && said.includes(`${angle}°`), name);
    assert.ok(words.includes(name.replace(/\s/g, '')), `${name} beside its band`);
  }
  // The same drawing every time.
  const strokes = () => page.locator('#stage-stack .section-view .strokes').evaluateAll((all) => all.map((one) => one.getAttribute('d')));
  const first = await strokes();
  await enter(page, 'stack.0.count', '2');
  await enter(page, 'stack.0.count', '1');
  assert.deepEqual(await strokes(), first);
  await context.close();
});

test('stiffness by direction is a plot, a sentence and a table; the matrices stand beside it', async () => {
  const { context, page, sheet } = await withPlan('paddle_blade');
  await openDeep(page, 'stack', '.polar-view');
  await openAll(page);
  const { polar, stiffness_matrices: matrices } = sheet.stack;
  assert.ok((await page.locator('#stage-stack .polar-view').getAttribute('aria-label')).includes(polar.sentence));
  const rows = await page.locator('.polar tbody tr').evaluateAll((all) => all.map((row) => row.textContent));
  assert.equal(rows.length, polar.directions.length);
  polar.directions.forEach(({ angle_deg: angle, text, range }, place) => {
    for (const part of [`${angle}°`, text, range]) assert.ok(rows[place].includes(part), `${angle}: ${part}`);
  });
  // The line goes once round, and twice as stiff is twice as far from the middle.
  const points = (await page.locator('#stage-stack .likely-line').getAttribute('d')).match(/[\d.]+ [\d.]+/g).map((pair) => pair.split(' ').map((one) => Number(one) - 160));
  assert.equal(points.length, 24);
  const far = points.map(([x, y]) => Math.hypot(x, y));
  const [along, across] = [polar.directions[0].likely, polar.directions[6].likely];
  assert.ok(Math.abs(far[0] / far[6] - along / across) < 0.02);
  assert.equal(await page.locator('#stage-stack .polar-view circle.ring').count(), 3);
  const first = await page.locator('.matrix').first().locator('td').allTextContents();
  assert.ok(Math.abs(Number(first[1]) / matrices.a_n_mm[0][0] - 1) < 0.01, `${first[1]} for ${matrices.a_n_mm[0][0]}`);
  await context.close();
});

test('a load shows only the entries it needs, keeps the others, and answers', async () => {
  const { context, page } = await ticket(here);
  await openStage(page, 'stack');
  const shown = () => page.locator('[id^="at-load-"]:is(input, select):visible').evaluateAll((all) => all.map(({ id }) => id.replace('at-load-', '')));
  assert.deepEqual(await shown(), ['case']);
  const wanted = {
    pressure: ['held', 'length_mm', 'width_mm', 'pressure_kpa', 'heel_mm', 'limit_mm', 'reserve'],
    point: ['held', 'length_mm', 'width_mm', 'force_n', 'patch_mm', 'heel_mm', 'limit_mm', 'reserve'],
    strip_middle: ['length_mm', 'width_mm', 'force_n', 'limit_mm', 'reserve'],
    strip_even: ['length_mm', 'pressure_kpa', 'limit_mm', 'reserve'],
    strip_end: ['length_mm', 'width_mm', 'force_n', 'limit_mm', 'reserve'],
    edge: ['held', 'sides', 'length_mm', 'width_mm', 'edge_n_mm', 'reserve'],
  };
  for (const [word, entries] of Object.entries(wanted)) {
    await enter(page, 'load.case', word);
    assert.deepEqual(await shown(), ['case', ...entries], word);
  }
  await enter(page, 'load.case', 'strip_middle');
  await enter(page, 'load.length_mm', '500');
  await enter(page, 'load.width_mm', '80');
  await enter(page, 'load.force_n', '20');
  await enter(page, 'load.limit_mm', '4');
  const { sheet } = await answerTo(page, await keptPlan(page));
  await page.locator('.load:visible').waitFor();
  const text = (await page.locator('.load').innerText()).replaceAll('\u00a0', ' ');
  for (const words of [sheet.stack.load.sentence, sheet.stack.load.weakest, sheet.stack.load.rests_on, sheet.stack.load.reserve.label]) assert.ok(text.includes(words.replaceAll('\u00a0', ' ')), words);
  await at(page, 'load.case').focus();
  await enter(page, 'load.case', '');
  assert.deepEqual(await shown(), ['case']);
  assert.equal(await page.locator('.load').isVisible(), false);
  assert.deepEqual((await keptPlan(page)).load, { length_mm: 500, width_mm: 80, force_n: 20, limit_mm: 4 });
  await enter(page, 'load.case', 'strip_middle');
  assert.equal(await at(page, 'load.force_n').inputValue(), '20');
  await context.close();
});

test('a stage that comes and goes never takes the focus away', async () => {
  const { context, page, sheet } = await withPlan('hive_stand');
  const seen = await page.evaluate(async (given) => {
    const { stageSection } = await import(new URL('stage.js', document.baseURI));
    const hooks = { goToInput() {}, entryLabel: () => null, hasEntry: () => false, remember() {}, wasOpen: () => false };
    const short = { ...given, suit: null, stack: { ...given.stack, polar: null, load: null, stiffness_matrices: null } };
    const tick = () => new Promise((done) => { setTimeout(done, 30); });
    const out = {};
    const place = document.createElement('div');
    document.body.prepend(place);
    const [suit, stack] = ['suit', 'stack'].map((stage) => stageSection({ stage, short: stage }, () => [], hooks));
    place.append(suit.el, stack.el);
    suit.update(short.suit, short);
    stack.update(short.stack, short);
    out.before = [suit.el.hidden, stack.el.hidden];
    suit.open(true);
    stack.open(true);
    suit.update(given.suit, given);
    stack.update(given.stack, given);
    await tick();
    out.there = [suit.el.hidden, stack.el.querySelector('.polar').hidden, stack.el.querySelector('.load').hidden, stack.el.querySelector('.matrices').hidden];
    const select = suit.el.querySelector('select');
    select.focus();
    suit.update(short.suit, short);
    await tick();
    out.held = [suit.el.hidden, document.activeElement === select];
    suit.update(given.suit, given);
    await tick();
    out.again = [suit.el.hidden, document.activeElement === select];
    suit.update(short.suit, short);
    const summary = stack.el.querySelector('.polar summary');
    summary.focus();
    await tick();
    stack.update(short.stack, short);
    await tick();
    out.left = [suit.el.hidden, document.activeElement === summary, stack.el.querySelector('.load').hidden, stack.el.querySelector('.polar').hidden];
    summary.blur();
    stack.update(short.stack, short);
    await tick();
    out.gone = stack.el.querySelector('.polar').hidden;
    place.remove();
    return out;
  }, sheet);
  assert.deepEqual(seen, {
    before: [true, false], there: [false, false, false, false], held: [false, true], again: [false, true], left: [true, true, true, false], gone: true,
  });
  await context.close();
});

test('working back shows the stacks, the trade-off with the same letters, and gives rows to lay', async () => {
  const { context, page } = await ticket(here);
  await openStage(page, 'stack');
  const laid = await page.evaluate(async (result) => {
    const { rowsFor, showBack } = await import(new URL('back.js', document.baseURI));
    const host = document.createElement('div');
    host.id = 'here';
    document.querySelector('#stage-stack .back').open = true;
    document.querySelector('#stage-stack .back').append(host);
    const rows = [];
    showBack(host, result, { layStack: (given) => rows.push(given) });
    host.querySelectorAll('button').forEach((button) => button.click());
    const own = { name: 'Old sailcloth', fibre: 'hemp' };
    return { rows, own: rowsFor({ stack: [{ fabric: own, count: 1 }] }, [{ fabric: 'own', name: 'Old sailcloth', count: 2, angle_deg: 45 }, { fabric: 'cork_5', name: 'Cork', count: 1, angle_deg: 0 }]) };
  }, back);
  assert.deepEqual(laid.rows, back.found.map(({ rows }) => rows));
  assert.deepEqual(laid.own, [{ fabric: { name: 'Old sailcloth', fibre: 'hemp' }, count: 2, angle_deg: 45 }, { fabric: 'cork_5', count: 1, angle_deg: 0 }]);
  const text = await page.locator('#here').innerText();
  assert.ok(text.includes(back.sentence));
  for (const { build, mass, chance } of back.found) for (const words of [build, mass.text, mass.range, chance]) assert.ok(text.includes(words), words);
  const marks = back.front.filter(({ found }) => found).map(({ found }) => found);
  assert.deepEqual(await page.locator('#here .front-view .mark').allTextContents(), marks);
  assert.equal(await page.locator('#here .front-view .rest-dot').count(), back.front.length - marks.length);
  // A thinner stack stands further left, a heavier one higher up.
  const dots = await page.locator('#here .front-view .found-dot').evaluateAll((all) => all.map((dot) => [Number(dot.getAttribute('cx')), Number(dot.getAttribute('cy'))]));
  const points = back.front.filter(({ found }) => found);
  assert.equal(dots[0][0] < dots[1][0], points[0].thickness_mm < points[1].thickness_mm);
  assert.equal(dots[0][1] < dots[1][1], points[0].mass_g_m2 > points[1].mass_g_m2);
  await page.locator('#here summary').click();
  assert.equal(await page.locator('#here tbody tr').count(), back.front.length);
  assert.deepEqual(await barriers(page), []);

  const told = await page.evaluate(async () => {
    const { showBack } = await import(new URL('back.js', document.baseURI));
    const host = document.createElement('div');
    showBack(host, { problems: [{ field: 'target.most_thickness_mm', sentence: 'Say something that goes together.' }] }, { layStack() {} });
    return host.textContent;
  });
  assert.equal(told, 'Say something that goes together.');
  await context.close();
});

test('the button asks once, tells that it looks, drops what came too late and says when the plan has moved on', async () => {
  const { context, page } = await ticket(here);
  const seen = await page.evaluate(async (result) => {
    const { backPart } = await import(new URL('back.js', document.baseURI));
    const tick = () => new Promise((done) => { setTimeout(done, 10); });
    let plan = { format: 1, stack: [{ fabric: 'flax_twill_300', count: 4 }], target: {} };
    const answers = [];
    const part = backPart(() => new Promise((done) => { answers.push(done); }), { plan: () => plan, layStack() {}, goToInput() {}, entryLabel: () => null });
    document.body.append(part.el);
    const [button, state, host] = [part.el.querySelector('button'), part.el.querySelector('[role="status"]'), part.el.querySelector('.back-result')];
    const out = [];
    button.click();
    out.push(state.textContent);
    button.click();
    answers[0](null);
    await tick();
    out.push(host.childElementCount);
    answers[1](result);
    await tick();
    out.push(host.childElementCount > 0, state.textContent);
    plan = { ...plan, stack: [{ fabric: 'cork_5', count: 1 }] };
    part.update();
    out.push(state.textContent);
    plan = { ...plan, target: { core: true } };
    part.update();
    out.push(state.textContent);
    part.el.remove();
    return out;
  }, back);
  assert.deepEqual(seen, ['Looking through the stacks. You can go on working.', 0, true, '', '', 'The plan has changed since. Find stacks again for what it asks now.']);
  await context.close();
});

test('prices and stock go into the own shelf; cost follows; what cannot be used is told and kept', async () => {
  const { context, page, complaints } = await ticket(here);
  await openDeep(page, 'suit', '.material');
  await page.locator('#suit-compare').selectOption('cost');
  assert.match(await page.locator('.materials').innerText(), /no price written/);
  await page.locator('.stock summary').click();
  await page.locator('#stock-currency').fill('EUR');
  await page.locator('#stock-flax_twill_300-price').fill('18,5');
  await page.locator('#stock-flax_twill_300-left').fill('12');
  await page.locator('#stock-infusion_epoxy_slow-price').fill('21');
  await drawn(page);
  const own = () => page.evaluate(() => JSON.parse(localStorage.getItem('bastwork.own')));
  const kept = JSON.stringify(await own());
  assert.ok(kept.includes('"price":18.5') && kept.includes('"left":12') && kept.includes('EUR'), kept);
  assert.match(await page.locator('.material.this').innerText(), /\d.*EUR/);

  await page.locator('#stock-flax_twill_300-price').fill('18,5 each');
  await drawn(page);
  assert.equal(await page.locator('#stock-flax_twill_300-price').getAttribute('aria-invalid'), 'true');
  assert.ok((await page.locator('#stock-flax_twill_300-price-under').textContent()).length > 10);
  assert.equal(await page.locator('#problems').isVisible(), false, 'the sheet goes on');
  assert.ok(JSON.stringify(await own()).includes('18,5 each'), 'nothing typed is lost');

  await page.locator('#stock-more').selectOption('glass_plain_200');
  assert.equal(await page.locator('#stock-glass_plain_200-price').evaluate((input) => input === document.activeElement), true);
  assert.deepEqual(await barriers(page), []);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('at 320 pixels, light and dark, with everything open, nothing runs out of the page and nothing keeps people out', async () => {
  for (const colorScheme of ['light', 'dark']) {
    const { context, page, complaints } = await withPlan('hive_stand', { viewport: { width: 320, height: 640 }, colorScheme, reducedMotion: 'reduce' });
    await openAll(page);
    await page.locator('.material').first().waitFor();
    await page.locator('.stock-list').waitFor();
    await page.locator('#suit-compare').selectOption('all');
    await openAll(page);
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 320);
    assert.deepEqual(await barriers(page), [], colorScheme);
    assert.deepEqual(complaints, []);
    await context.close();
  }
});

test('paper holds the verdict, the section and the load; the comparison stays at the table', async () => {
  const { context, page, sheet } = await withPlan('hive_stand');
  await page.waitForFunction((name) => document.querySelector('#paper h1')?.textContent === name && document.querySelector('#paper .address'), sheet.name);
  await page.emulateMedia({ media: 'print' });
  const text = (await page.locator('#paper').innerText()).replaceAll('\u00a0', ' ');
  assert.ok(text.includes(sheet.suit.head.answer.replaceAll('\u00a0', ' ')), 'the verdict');
  assert.equal(text.includes(sheet.suit.basis.replaceAll('\u00a0', ' ')), false, 'no table of materials');
  assert.ok(text.includes(sheet.stack.load.sentence.replaceAll('\u00a0', ' ')));
  assert.equal(await page.locator('#paper .section-view').isVisible(), true);
  await context.close();
});

test('prices and stock of a shop file come in; what this shop wrote itself stays', () => {
  const ours = { format: 1, stock: { flax_twill_300: { price: 18 } }, currency: 'EUR' };
  const theirs = { format: 1, stock: { flax_twill_300: { price: 20 }, cork_5: { left: 3 } }, currency: 'CHF' };
  const { own, added, kept } = joined(ours, theirs);
  assert.deepEqual([own.stock, own.currency, added, kept], [{ flax_twill_300: { price: 18 }, cork_5: { left: 3 } }, 'EUR', 1, ['stock.flax_twill_300', 'currency']]);
  assert.deepEqual(joined({}, theirs).own, { ...theirs });
  // An own cloth that comes in under a new key brings its stock along.
  const cloth = (mass) => ({ name: 'Twill', areal_mass_g_m2: mass });
  const beside = joined({ format: 1, fabrics: { twill: cloth(300) } }, { format: 1, fabrics: { twill: cloth(200) }, stock: { twill: { left: 2 } } });
  assert.deepEqual(beside.own.stock, { twill_2: { left: 2 } });
});

test('the search runs aside on the real core; a found stack is laid, and taken back', async () => {
  const { context, page, complaints } = await ticket(here);
  const stack = async () => (await keptPlan(page)).stack;
  await enter(page, 'load.case', 'strip_middle');
  for (const [path, text] of [['load.length_mm', '300'], ['load.width_mm', '100'], ['load.force_n', '20'], ['load.limit_mm', '4']]) await enter(page, path, text);
  const before = await stack();
  await openAll(page);
  await page.getByRole('button', { name: 'Find stacks' }).click();
  await page.getByText(/[\d\s]+ symmetric stacks of one or two of \d+ cloths/).waitFor();
  await page.getByRole('button', { name: /Lay this stack/ }).first().click();
  await drawn(page);
  assert.notDeepEqual(await stack(), before);
  await hear(page, 'The stack is laid');
  await page.locator('#say').getByRole('button', { name: 'Undo' }).click();
  await drawn(page);
  assert.deepEqual(await stack(), before);
  assert.deepEqual(complaints, []);
  await context.close();
});
