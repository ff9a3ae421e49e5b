// The three-entry path: area, cloth and count, resin; then every stage, every figure, and an entry that cannot be.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { answerTo, at, drawn, enter, inPlans, keptPlan, openAll, openStage, ready, shop, stages, strip, ticket, under } from './ticket.mjs';

/** What a first visit shows. */
const EXAMPLE = {
  format: 1, part: { area_m2: 0.62, flow_length_mm: 420 }, route: 'infusion',
  stack: [{ fabric: 'flax_twill_300', count: 4, angle_deg: 0 }], resin: 'infusion_epoxy_slow',
};

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

test('a first visit shows an example; an empty ticket asks for one thing after the other, and three entries give a whole sheet', async () => {
  const { context, page, complaints } = await ticket(here);
  assert.match(await page.locator('#example').textContent(), /This is an example/);
  await page.getByRole('button', { name: 'begin with an empty ticket' }).click();
  assert.match(await page.locator('#problems').innerText(), /area/i);
  assert.equal(await page.locator('#strip').isVisible(), false, 'no figures without a part');
  assert.equal(await at(page, 'part.area_m2').evaluate((input) => input === document.activeElement), true);

  await page.keyboard.type('0,62');
  await at(page, 'stack.0.fabric').selectOption({ label: '2/2 twill flax, 300 g/m²' });
  await at(page, 'stack.0.count').fill('4');
  await at(page, 'resin').selectOption({ label: 'Infusion epoxy, slow hardener (made-up figures)' });
  await drawn(page);
  const foot = await strip(page);
  assert.deepEqual(Object.keys(foot), ['plies', 'thick', 'dry', 'mix', 'fill', 'off the mould']);
  for (const [label, text] of Object.entries(foot)) assert.match(text, /^\d/, `${label}: ${text}`);
  assert.equal(foot.plies, '4');
  assert.equal(await page.locator('#problems').isVisible(), false);
  assert.deepEqual(await stages(page), ['suit', 'stack', 'bag', 'dry', 'mix', 'fill', 'cure', 'trim', 'day']);
  assert.deepEqual((await keptPlan(page)).stack, [{ fabric: 'flax_twill_300', count: 4, angle_deg: 0 }]);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('every stage opens to its question, its answer and every figure of the sheet with its range', async () => {
  const { context, page, complaints } = await ticket(here);
  await enter(page, 'part.area_m2', '0,7');
  await openAll(page);
  const { sheet } = await answerTo(page, await keptPlan(page));
  let figures = 0;
  for (const name of await stages(page)) {
    const wanted = sheet[name];
    const section = page.locator(`#stage-${name}`);
    assert.equal(await section.locator('.question').textContent(), wanted.head.question);
    assert.equal(await section.locator('.answer').textContent(), wanted.head.answer);
    const onPage = new Map(await section.locator('button.figure').evaluateAll((all) => all.map((one) => {
      const text = (part) => one.querySelector(`.${part}`).textContent;
      return [text('label'), { amount: text('amount').replace('\u00a0', ' ').trim(), range: text('range'), basis: one.dataset.basis, drawn: one.querySelector('svg') !== null }];
    })));
    for (const { label, shown, basis, high } of Object.values(wanted).filter((one) => one?.shown)) {
      const seen = onPage.get(label);
      if (high === 0 && !seen) continue;
      assert.ok(seen, `${name}: "${label}" is not on the page`);
      assert.deepEqual([seen.amount.startsWith(shown.likely), seen.range, seen.basis, seen.drawn], [true, shown.range, basis, shown.range !== ''], label);
      figures += 1;
    }
  }
  assert.ok(figures > 40, `${figures} figures`);
  const ranged = await page.locator('button.figure .range').filter({ hasText: / to / }).count();
  assert.ok(ranged > figures * 0.7, `${ranged} of ${figures} figures carry a range`);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('a figure opens to its law, what went in and its sources, and each link there leads to an entry in view', async () => {
  const { context, page } = await ticket(here, { reducedMotion: 'reduce' });
  const { sheet } = await answerTo(page, EXAMPLE);
  let links = 0;
  for (const name of await stages(page)) {
    await openStage(page, name);
    const main = page.locator(`#stage-${name} .main-figure`);
    await main.locator('button.figure').click();
    const panel = main.locator('.panel');
    const { law, inputs, sources } = sheet[name][sheet[name].head.main];
    assert.equal(await panel.locator('.law').textContent(), law);
    assert.match(await panel.innerText(), /Rests on /);
    assert.equal(await panel.locator('.inputs li').count(), inputs.length, `${name}: what went in`);
    const cited = await panel.locator('.sources li').allTextContents();
    for (const key of sources) {
      const { author } = sheet.sources.find((source) => source.key === key);
      assert.ok(cited.some((line) => line.includes(author)), `${name} does not cite ${author}`);
    }
    for (const link of await panel.locator('a').all()) {
      if (!(await link.isVisible())) continue;
      await link.click();
      await page.waitForFunction(() => {
        const { activeElement: entry } = document;
        const [box, foot] = [entry.getBoundingClientRect(), document.getElementById('foot').getBoundingClientRect()];
        return entry.matches('input, select') && box.top >= 0 && box.bottom <= foot.top;
      });
      links += 1;
    }
  }
  assert.ok(links > 8, `${links} links`);
  await context.close();
});

test('what to measure first is told in the core\'s sentence, and a link stands only where there is an entry', async () => {
  const { context, page } = await ticket(here, { reducedMotion: 'reduce' });
  let [told, widest] = [0, 0];
  for (const name of ['Hive roof', 'Paddle blade', 'Stall counter']) {
    await inPlans(page, name);
    await page.locator('#plans').waitFor({ state: 'hidden' });
    await drawn(page);
    const { sheet } = await answerTo(page, await keptPlan(page));
    const first = page.locator('#first');
    if (sheet.measure_first) assert.ok((await first.innerText()).includes(sheet.measure_first.sentence), name);
    for (const link of await first.locator('a').all()) {
      await link.click();
      await page.waitForFunction(() => document.activeElement.matches('input, select'));
    }
    await openAll(page);
    const leads = await page.evaluate(() => {
      document.querySelectorAll('button.figure[aria-expanded="false"]').forEach((button) => button.click());
      return [...document.querySelectorAll('.figure-place:not([hidden])')].map((place) => ({
        figure: `${place.closest('.stage').id} ${place.querySelector('.label').textContent}`,
        lead: [...place.querySelectorAll('.panel > p')].map((line) => line.textContent).find((line) => /^Measure this first|^What widens/.test(line)),
      }));
    });
    for (const [stage, found] of Object.entries(sheet)) {
      for (const { label, drivers } of Object.values(found ?? {}).filter((one) => one?.drivers?.length)) {
        const { lead } = leads.find(({ figure }) => figure === `stage-${stage} ${label}`) ?? {};
        if (!lead) continue;
        const { key: input, label: driver } = sheet.inputs[drivers[0].input];
        const measurable = input === sheet.measure_first?.input || await at(page, input).count() > 0;
        assert.ok(lead.startsWith(`${measurable ? 'Measure this first' : 'What widens the range most'}: ${driver}`), `${name}, ${label}: ${lead}`);
        if (measurable) told += 1;
        else widest += 1;
      }
    }
  }
  assert.ok(told > 3 && widest > 3, `${told} to measure, ${widest} not`);
  await context.close();
});

test('a decimal comma is a decimal point, and the text stays as it was typed', async () => {
  const { context, page } = await ticket(here);
  await enter(page, 'part.area_m2', '1.24');
  const point = await strip(page);
  await enter(page, 'part.area_m2', '2');
  await enter(page, 'part.area_m2', '1,24');
  assert.deepEqual(await strip(page), point);
  assert.equal(await at(page, 'part.area_m2').inputValue(), '1,24');
  assert.equal((await keptPlan(page)).part.area_m2, 1.24);
  await context.close();
});

test('what cannot be is told in the core\'s words at the entry; the last sheet stays and says that it is from before', async () => {
  const { context, page } = await ticket(here);
  const before = await strip(page);
  await enter(page, 'room.humidity_pct', '180');
  await at(page, 'room.humidity_pct').focus();
  const { problems } = await answerTo(page, await keptPlan(page));
  assert.equal(problems.length, 1);
  assert.equal(await under(page, 'room.humidity_pct').textContent(), problems[0].sentence);
  assert.match(problems[0].sentence, /180/);
  assert.equal(await at(page, 'room.humidity_pct').getAttribute('aria-invalid'), 'true');
  assert.deepEqual(await strip(page), before, 'the figures from before');
  assert.match(await page.locator('#before').innerText(), /From before: 1 entry needs another look/);
  assert.match(await page.locator('#problems').innerText(), /figures below are from before/);
  assert.equal(await at(page, 'room.humidity_pct').evaluate((input) => input === document.activeElement), true, 'the focus stays');

  await page.locator('#before button').click();
  await page.locator('#problems a').click();
  await page.waitForFunction(() => document.activeElement.id === 'at-room-humidity_pct');
  await enter(page, 'room.humidity_pct', '58');
  assert.equal(await page.locator('#before').isVisible(), false);
  assert.doesNotMatch(await page.evaluate(() => document.body.innerText), /\berror\b|\binvalid\b/i);
  await context.close();
});

test('nothing typed is lost through a reload in the same instant, usable or not', async () => {
  const { context, page } = await ticket(here);
  await enter(page, 'name', 'Hive roof, south wall');
  await enter(page, 'part.area_m2', '0,8');
  await enter(page, 'note', 'Two hands for the film.');
  await openStage(page, 'dry');
  await at(page, 'dry.oven_c').fill('60 maybe');
  await page.reload();
  await ready(page);
  for (const [path, text] of [['name', 'Hive roof, south wall'], ['part.area_m2', '0.8'], ['note', 'Two hands for the film.'], ['dry.oven_c', '60 maybe']]) {
    assert.equal(await at(page, path).inputValue(), text);
  }
  assert.equal(await page.locator('#stage-dry-head').getAttribute('aria-expanded'), 'true', 'the stage is still open');
  assert.equal(await page.locator('#problems a').count(), 1);
  assert.equal(await page.locator('#example').textContent(), '');
  await context.close();
});
