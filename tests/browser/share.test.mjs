// A link brings the plan back in another browser; broken and hostile links give a sentence.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { deflateRawSync } from 'node:zlib';
import { at, drawn, enter, hear, inPlans, ready, said, shop, strip, ticket, worksOn } from './ticket.mjs';

let here;
before(async () => { here = await shop('/deep/down/'); });
after(() => here.stop());

/** A link of our form with any bytes in it. */
const packed = (text) => `${here.url}#1${deflateRawSync(Buffer.from(text)).toString('base64url')}`;
const plan = (more) => JSON.stringify({ format: 1, name: 'Roof', part: { area_m2: 0.5 }, stack: [{ fabric: 'flax_twill_300', count: 2, angle_deg: 0 }], resin: 'infusion_epoxy_slow', ...more });

test('a link opens the same plan in a fresh browser, own cloth and all, once, and no server sees it', async () => {
  const { context, page } = await ticket(here);
  await enter(page, 'name', 'Dach „Süd“ 蜂');
  await enter(page, 'part.area_m2', '0,77');
  await enter(page, 'room.humidity_pct', '71');
  await page.getByRole('button', { name: 'Your own cloth' }).click();
  const own = page.locator('.own-place');
  await own.getByLabel('Name').fill('Nettle twill');
  await own.locator('input[inputmode="decimal"]').first().fill('280');
  await own.getByRole('button', { name: 'Keep and use it' }).click();
  await drawn(page);
  await inPlans(page, 'Share as a link');
  const link = page.locator('#share-link');
  await page.waitForFunction(() => document.getElementById('share-link').value.includes('#'));
  const address = await link.inputValue();
  const foot = await strip(page);
  await context.close();
  assert.match(address, /^http:\/\/localhost:\d+\/deep\/down\/#1[\w-]+$/);

  const other = await ticket(here, { url: address });
  await hear(other.page, /"Dach „Süd“ 蜂" came with the link/);
  assert.deepEqual(await strip(other.page), foot);
  assert.equal(await at(other.page, 'stack.0.fabric').locator('option:checked').textContent(), 'Nettle twill');
  assert.equal(new URL(other.page.url()).hash, '', 'a reload does not open it twice');
  await enter(other.page, 'part.area_m2', '0,5');
  await other.page.reload();
  await ready(other.page);
  assert.equal(await at(other.page, 'part.area_m2').inputValue(), '0.5');
  await other.page.locator('#plans-button').click();
  await other.page.locator('#plans').waitFor();
  assert.equal(await other.page.locator('#plans .plans li').count(), 1);
  assert.deepEqual(other.complaints, []);
  assert.ok(here.server.asked.every((path) => !path.includes('#') && path.length < 60), 'the plan never went to the server');

  // A link followed while a plan is on the bench comes beside it.
  await other.page.evaluate((hash) => { location.hash = hash; }, new URL(packed(plan({ name: 'Second' }))).hash);
  await hear(other.page, /"Second" came with the link/);
  await other.page.locator('#plans .plans li').nth(1).waitFor();

  // Followed again, it brings the plan that is there, not another.
  await other.page.evaluate((hash) => { location.hash = hash; }, new URL(packed(plan({ name: 'Second' }))).hash);
  await hear(other.page, /"Second", which the link brings, was in your list of plans already/);
  assert.equal(await other.page.locator('#plans .plans li').count(), 2);
  await other.context.close();
});

test('broken and hostile links give a sentence, and the page works', async () => {
  const good = packed(plan());
  const deep = `${'['.repeat(100_000)}${']'.repeat(100_000)}`;
  for (const [what, address, wanted] of [
    ['cut short', good.slice(0, -12), /does not hold a whole plan/],
    ['no base64', `${here.url}#1<script>hacked=1</script>`, /does not hold a whole plan/],
    ['a bomb', packed(' '.repeat(40_000_000)), /holds more than a plan can be/],
    ['very long', `${here.url}#1${'A'.repeat(900_000)}`, /holds more than a plan can be/],
    ['of a newer page', `${here.url}#7abc`, /made by a newer Bastwork/],
    ['not a plan', packed('[1,2,3]'), /does not hold a whole plan/],
    ['without end', packed(`{"format":1,"stack":${deep}}`), /does not hold a whole plan/],
  ]) {
    const { context, page, complaints } = await ticket(here, { url: address });
    await hear(page, wanted);
    await worksOn(page);
    assert.deepEqual(complaints, [], what);
    await context.close();
  }
});

test('what a link says is shown as letters, reaches no prototype, and odd values are told', async () => {
  const name = '<img src=x onerror="hacked=1">';
  const text = plan({ name, note: '<script>hacked=1</script>', room: { humidity_pct: '<b>wet</b>' } }).replace('{', '{"__proto__":{"hacked":1},"constructor":{"prototype":{"hacked":1}},');
  const { context, page, complaints } = await ticket(here, { url: packed(text) });
  await hear(page, 'came with the link');
  assert.equal(await at(page, 'name').inputValue(), name);
  assert.match(await page.locator('#problems').innerText(), /<b>wet<\/b>/);
  assert.equal(await page.evaluate(() => globalThis.hacked ?? {}.hacked ?? document.querySelectorAll('img, b:not(#paper b), body script:not(main > script)').length), 0);
  assert.match(await said(page), /<img src=x/);
  await enter(page, 'room.humidity_pct', '60');
  assert.equal((await strip(page)).plies, '2');
  assert.deepEqual(complaints, []);
  await context.close();
});
