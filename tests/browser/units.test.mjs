// US customary units: entries and figures are converted both ways, and the plan that is kept stays metric.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { at, enter, keptPlan, openStage, ready, shop, strip, ticket, under, whole } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

const near = (text, value, share = 0.005) => assert.ok(Math.abs(Number(text) - value) <= Math.abs(value) * share, `${text} is not ${value}`);
const bare = ({ units, saved, ...plan }) => plan;

test('a change of units converts what stands in the entries and on the sheet, and not the plan', async () => {
  const { context, page } = await ticket(here);
  await enter(page, 'part.area_m2', '0,62');
  await enter(page, 'room.temperature_c', '19');
  await enter(page, 'bag.pressure_mbar_abs', '15');
  const [plan, foot] = [await keptPlan(page), await strip(page)];

  await enter(page, 'units', 'us');
  near(await at(page, 'part.area_m2').inputValue(), 0.62 * 10.7639);
  near(await at(page, 'room.temperature_c').inputValue(), 66.2);
  near(await at(page, 'bag.pressure_mbar_abs').inputValue(), 15 * 0.0295300, 0.02);
  assert.match(await at(page, 'room.temperature_c').locator('..').textContent(), /°F/);
  assert.deepEqual(bare(await keptPlan(page)), bare(plan));
  assert.equal((await keptPlan(page)).units, 'us');
  const us = await strip(page);
  near(us.thick.replace(/\s*in$/, ''), Number.parseFloat(foot.thick) / 25.4, 0.02);
  for (const [label, text] of Object.entries(us)) assert.doesNotMatch(text, /\d\s*(mm|g|°C)$/, `${label}: ${text}`);
  assert.match(us.thick, /\sin$/);

  await page.reload();
  await ready(page);
  await whole(page);
  assert.deepEqual(await strip(page), us, 'the units stay through a reload');
  near(await at(page, 'part.area_m2').inputValue(), 0.62 * 10.7639);

  await enter(page, 'units', 'metric');
  assert.deepEqual(await strip(page), foot);
  assert.deepEqual([await at(page, 'part.area_m2').inputValue(), await at(page, 'room.temperature_c').inputValue()], ['0.62', '19']);
  await context.close();
});

test('what is typed in US units is kept in metric ones, and told in US ones when it cannot be', async () => {
  const { context, page } = await ticket(here);
  await enter(page, 'units', 'us');
  await enter(page, 'part.area_m2', '10');
  await enter(page, 'room.temperature_c', '68');
  await enter(page, 'part.flow_length_mm', '12');
  const { part, room } = await keptPlan(page);
  near(part.area_m2, 10 * 0.09290304, 1e-9);
  near(part.flow_length_mm, 304.8, 1e-9);
  near(room.temperature_c, 20, 1e-9);
  assert.equal(await at(page, 'part.area_m2').inputValue(), '10', 'the text stays as typed');

  await openStage(page, 'dry');
  await enter(page, 'dry.oven_c', '900');
  const sentence = await under(page, 'dry.oven_c').textContent();
  assert.match(sentence, /900/);
  assert.match(sentence, /°F|Fahrenheit/);
  await page.reload();
  await ready(page);
  assert.match(await at(page, 'dry.oven_c').inputValue(), /^900/, 'kept as what the reader meant');
  assert.match(await under(page, 'dry.oven_c').textContent(), /900/);
  await enter(page, 'dry.oven_c', '140');
  assert.equal(await page.locator('#problems').isVisible(), false);
  near((await keptPlan(page)).dry.oven_c, 60, 1e-9);
  await enter(page, 'units', 'metric');
  assert.equal(await at(page, 'dry.oven_c').inputValue(), '60');
  await context.close();
});
