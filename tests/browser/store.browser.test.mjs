// Plans in a real browser: a full, a blocked and a broken store, two tabs, undo, files out and in, hostile files.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { after, before, test } from 'node:test';
import { at, drawn, enter, give, hear, inPlans, keptPlan, ready, said, shop, strip, ticket, worksOn } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

const rows = (page) => page.locator('#plans .plans .name').allTextContents();

/** Presses a button that downloads, and gives what the file holds. */
async function download(page, name) {
  const [file] = await Promise.all([page.waitForEvent('download'), inPlans(page, name)]);
  return { name: file.suggestedFilename(), text: await readFile(await file.path(), 'utf8') };
}

test('a store that is really full: said with the way forward, the page works on, and room that comes free is used', async () => {
  const { context, page } = await ticket(here);
  await enter(page, 'part.area_m2', '0,7');
  await keptPlan(page);
  await page.evaluate(() => {
    let count = 0;
    for (let size = 1 << 22; size >= 1; size >>= 1) {
      for (;;) {
        try { localStorage.setItem(`filler.${count}`, 'x'.repeat(size)); count += 1; } catch { break; }
      }
    }
  });
  await enter(page, 'note', 'Longer than what little room there is.');
  await hear(page, /no room left for your plans.*Export everything as a file/);
  const before = await strip(page);
  await enter(page, 'part.area_m2', '0,75');
  assert.notDeepEqual(await strip(page), before);
  const { text } = await download(page, 'Export everything');
  assert.match(text, /Longer than what little room/, 'what is only in memory goes out too');

  await page.evaluate(() => { Object.keys(localStorage).filter((key) => key.startsWith('filler.')).forEach((key) => localStorage.removeItem(key)); });
  await enter(page, 'note', 'Room again.');
  await page.reload();
  await ready(page);
  assert.deepEqual([await at(page, 'note').inputValue(), await at(page, 'part.area_m2').inputValue()], ['Room again.', '0.75']);
  await context.close();
});

test('a blocked store: said once, and everything works from memory', async () => {
  const { context, page, complaints } = await ticket(here, {
    before: () => Object.defineProperty(globalThis, 'localStorage', { configurable: true, get() { throw new DOMException('no', 'SecurityError'); } }),
  });
  await hear(page, /keeps nothing for this page.*Everything works/);
  await worksOn(page);
  await inPlans(page, 'Copy this plan');
  await page.locator('#plans .plans li').nth(1).waitFor();
  assert.deepEqual((await rows(page)).sort(), ['Hive roof', 'Hive roof (copy)']);
  assert.match((await download(page, 'Export this plan')).text, /"Hive roof \(copy\)"/);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('what cannot be read is set aside with its text, and the good plans are there', async () => {
  const { context, page, complaints } = await ticket(here);
  await enter(page, 'name', 'Good plan');
  await keptPlan(page);
  await page.evaluate(() => {
    localStorage.setItem('bastwork.plan.bad', '{"version":1,"plan":{"name":"half');
    localStorage.setItem('bastwork.own', 'null');
    localStorage.setItem('bastwork.index', '[]');
  });
  await page.reload();
  await ready(page);
  await hear(page, /^2 things saved here cannot be read/);
  assert.equal(await at(page, 'name').inputValue(), 'Good plan');
  await worksOn(page);
  const { aside } = JSON.parse((await download(page, 'Export everything')).text);
  assert.deepEqual(aside.map(({ text }) => text).sort(), ['null', '{"version":1,"plan":{"name":"half']);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('two tabs on one plan: an idle tab follows, and two that both changed it keep both', async () => {
  const { context, page } = await ticket(here);
  await enter(page, 'part.area_m2', '0,7');
  await keptPlan(page);
  const idle = await context.newPage();
  await idle.goto(here.url);
  await ready(idle);
  // A tab that has not yet heard of what the other one wrote.
  const deaf = await context.newPage();
  await deaf.addInitScript(() => addEventListener('storage', (event) => event.stopImmediatePropagation(), true));
  await deaf.goto(here.url);
  await ready(deaf);

  await enter(page, 'part.area_m2', '0,8');
  await keptPlan(page);
  await hear(idle, 'This plan was changed in another tab. You see it as it is there.');
  assert.equal(await at(idle, 'part.area_m2').inputValue(), '0.8');

  await deaf.bringToFront();
  await enter(deaf, 'note', 'from the other bench');
  await hear(deaf, /changed in another tab too. Both are kept: what you have here is now "Hive roof \(copy\)"/);
  assert.equal(await at(deaf, 'name').inputValue(), 'Hive roof (copy)');
  assert.equal((await keptPlan(page)).part.area_m2, 0.8);
  await page.bringToFront();
  await page.reload();
  await ready(page);
  assert.equal(await at(page, 'name').inputValue(), 'Hive roof', 'a tab comes back with its own plan');
  await page.locator('#plans-button').click();
  await page.locator('#plans').waitFor();
  assert.deepEqual((await rows(page)).sort(), ['Hive roof', 'Hive roof (copy)']);
  await context.close();
});

test('a tab that is killed while hands type without a pause has lost a second at most', async () => {
  const { context, page } = await ticket(here);
  await enter(page, 'name', 'A');
  await at(page, 'name').focus();
  // No pause is long enough to count as a rest; nothing is written by hand between.
  const kept = await page.evaluate(async () => {
    const entry = document.activeElement;
    const name = () => Object.keys(localStorage).filter((key) => key.startsWith('bastwork.plan.')).map((key) => JSON.parse(localStorage[key]).plan.name.length);
    const longest = [];
    for (let typed = 1; typed <= 60; typed += 1) {
      entry.value += 'x';
      entry.dispatchEvent(new InputEvent('input', { bubbles: true }));
      await new Promise((done) => { setTimeout(done, 50); });
      longest.push(Math.max(...name()));
    }
    return longest;
  });
  assert.ok(kept.at(-1) > 20, `${kept.at(-1)} of 61 letters were kept`);
  // Leaving the entry writes the rest at once.
  await page.keyboard.type('yz');
  await page.keyboard.press('Tab');
  const names = await page.evaluate(() => Object.keys(localStorage).filter((key) => key.startsWith('bastwork.plan.')).map((key) => JSON.parse(localStorage[key]).plan.name.length));
  assert.equal(Math.max(...names), 63);
  await context.close();
});

test('a deleted plan comes back by undo at once, and from the list after a reload', async () => {
  const { context, page } = await ticket(here);
  await enter(page, 'name', 'Roof of hive 7');
  await page.locator('#plans-button').click();
  await page.getByRole('button', { name: 'Delete Roof of hive 7' }).click();
  await hear(page, /"Roof of hive 7" is deleted/);
  assert.deepEqual(await rows(page), []);
  await page.locator('#say').getByRole('button', { name: 'Undo' }).click();
  assert.deepEqual(await rows(page), ['Roof of hive 7']);
  assert.equal(await at(page, 'name').inputValue(), 'Roof of hive 7');

  await page.getByRole('button', { name: 'Delete Roof of hive 7' }).click();
  await page.reload();
  await ready(page);
  await inPlans(page, 'Bring it back');
  assert.deepEqual(await rows(page), ['Roof of hive 7']);
  await page.locator('#plans .open').click();
  assert.equal(await at(page, 'name').inputValue(), 'Roof of hive 7');
  await context.close();
});

test('one plan, and the whole shop, go out as a file and come into another browser', async () => {
  const { context, page } = await ticket(here);
  await enter(page, 'name', 'Roof');
  await enter(page, 'part.area_m2', '0,9');
  await page.getByRole('button', { name: 'Your own cloth' }).click();
  const own = page.locator('.own-place');
  await own.getByLabel('Name').fill('Nettle twill');
  await own.locator('input[inputmode="decimal"]').first().fill('280');
  await own.getByRole('button', { name: 'Keep and use it' }).click();
  await drawn(page);
  const foot = await strip(page);
  const one = await download(page, 'Export this plan');
  assert.equal(one.name, 'roof.json');
  await inPlans(page, 'Copy this plan');
  const all = await download(page, 'Export everything');
  await context.close();

  const other = await ticket(here);
  await give(other.page, one.name, one.text);
  await hear(other.page, '"Roof" came in.');
  await drawn(other.page);
  assert.deepEqual(await strip(other.page), foot, 'the own cloth came with the plan');
  await give(other.page, all.name, all.text);
  await hear(other.page, /own shelf\..*"Roof \(copy\)"/);
  assert.ok((await rows(other.page)).includes('Roof (copy)'));
  await other.page.reload();
  await ready(other.page);
  assert.match(await at(other.page, 'stack.0.fabric').locator('option:checked').textContent(), /Nettle twill/);
  await other.context.close();
});

test('hostile and foreign files give a sentence; scripts in names are letters; the plan on the bench stays', async () => {
  const { context, page, complaints } = await ticket(here);
  await enter(page, 'name', 'Mine');
  const foot = await strip(page);
  const deep = `${'['.repeat(100_000)}${']'.repeat(100_000)}`;
  for (const [name, content, wanted] of [
    ['huge.json', Buffer.alloc(6 * 1024 * 1024, 32), /larger than 5 MB/],
    ['deep.json', deep, /not a file of Bastwork/],
    ['deep-plan.json', `{"format":1,"stack":[{"fabric":${deep}}]}`, /not a file of Bastwork/],
    ['package.json', '{"name":"thing","version":"1.0.0"}', /not a file of Bastwork/],
    ['sheet.pdf', '%PDF-1.7', /not a file of Bastwork/],
    ['<img src=x onerror=hacked=1>.json', 'no', /"<img src=x onerror=hacked=1>\.json" is not a file/],
    ['new.json', '{"bastwork":9,"plans":[]}', /newer Bastwork/],
  ]) {
    await give(page, name, content);
    await hear(page, wanted);
    assert.equal(await at(page, 'name').inputValue(), 'Mine', name);
  }
  assert.deepEqual(await strip(page), foot);

  const script = '<img src=x onerror="hacked=1"><script>hacked=1</script>';
  const ours = await page.evaluate(() => document.scripts.length);
  await give(page, 'script.json', `{"format":1,"name":${JSON.stringify(script)},"part":{"area_m2":0.5},"stack":[{"fabric":"flax_twill_300","count":2,"angle_deg":0,"__proto__":{"hacked":1}}],"resin":"infusion_epoxy_slow","__proto__":{"hacked":1},"constructor":{"prototype":{"hacked":1}}}`);
  await page.waitForFunction((name) => document.title.startsWith(name), script);
  await drawn(page);
  assert.ok((await rows(page)).includes(script), 'shown letter by letter');
  assert.match(await said(page), /<img src=x/);
  await page.emulateMedia({ media: 'print' });
  await page.waitForFunction((name) => document.querySelector('#paper h1')?.textContent === name, script);
  await page.emulateMedia({ media: 'screen' });
  assert.equal(await page.evaluate(() => globalThis.hacked ?? {}.hacked ?? document.images.length), 0);
  assert.equal(await page.evaluate(() => document.scripts.length), ours);
  assert.equal((await strip(page)).plies, '2');
  await worksOn(page);
  await keptPlan(page);
  assert.doesNotMatch(await page.evaluate(() => JSON.stringify({ ...localStorage })), /hacked\\*":/, 'no key of a prototype is kept');
  // What was in the file's own fields of another kind is told, not swallowed.
  await give(page, 'wrong.json', '{"format":1,"name":"Wrong","part":{"area_m2":{"a":1}},"stack":[{"fabric":{"name":7},"count":"many"}],"resin":["x"]}');
  await page.waitForFunction(() => document.title.startsWith('Wrong'));
  assert.ok(await page.locator('#problems li').count() > 1);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('an old backup is asked about, once there is something to lose', async () => {
  const { context, page } = await ticket(here);
  await page.reload();
  await ready(page);
  assert.equal(await said(page), '', 'nothing kept, nothing asked');
  await enter(page, 'name', 'Roof');
  await keptPlan(page);
  await page.evaluate((since) => localStorage.setItem('bastwork.backup', JSON.stringify({ version: 1, since })), new Date(Date.now() - 20 * 86_400_000).toISOString());
  await page.reload();
  await ready(page);
  await hear(page, /There is no backup of your plans yet/);
  await download(page, 'Export everything');
  await page.reload();
  await ready(page);
  assert.equal(await said(page), '');
  await context.close();
});
