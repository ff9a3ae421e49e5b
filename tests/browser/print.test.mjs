// On paper: one or two A4 sheets with everything a bench needs, for each of the demo plans.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { siteDir } from './lib.mjs';
import { answerTo, enter, give, keptPlan, shop, ticket } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

/** The sizes of the pages of a PDF as Chromium writes it, in points. */
function pagesOf(pdf) {
  const text = pdf.toString('latin1');
  const pages = text.match(/\/Type\s*\/Page\b[^s]/g) ?? [];
  const boxes = [...text.matchAll(/\/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)\s*\]/g)].map(([, width, height]) => [Math.round(width), Math.round(height)]);
  return { count: pages.length, boxes };
}

/** Text without the kinds of spaces that layout plays with. */
const plain = (text) => text.replace(/[\s\u00a0\u202f]+/g, ' ');

for (const file of ['hive_roof', 'paddle_blade', 'stall_counter', 'counter_drawn']) {
  test(`${file} fits on two sheets of A4 and holds name, strip, answers, cautions and the link`, async () => {
    const { context, page, complaints } = await ticket(here);
    const document_ = JSON.parse(await readFile(join(siteDir, 'examples', `${file}.json`), 'utf8'));
    await give(page, `${file}.json`, document_);
    await page.waitForFunction((name) => document.title.startsWith(name), document_.name);
    await page.waitForFunction((name) => document.querySelector('#paper h1')?.textContent === name && document.querySelector('#paper .address'), document_.name);

    const { count, boxes } = pagesOf(await page.pdf({ preferCSSPageSize: true }));
    assert.ok(count === 1 || count === 2, `${count} pages`);
    assert.equal(boxes.length, count);
    for (const box of boxes) assert.deepEqual(box, [595, 842]);

    await page.emulateMedia({ media: 'print' });
    const text = plain(await page.evaluate(() => document.body.innerText));
    const { sheet } = await answerTo(page, await keptPlan(page));
    const holds = (words) => assert.ok(text.includes(plain(words)), `missing on paper: ${words}`);
    holds(document_.name);
    for (const { text: figure, range } of sheet.strip) { holds(figure); holds(range); }
    for (const name of ['stack', 'bag', 'dry', 'mix', 'fill', 'cure', 'trim']) {
      holds(sheet[name].head.question);
      holds(sheet[name].head.answer);
    }
    assert.ok(sheet.notes.some(({ weight }) => weight === 'caution'));
    for (const { sentence } of sheet.notes) holds(sentence);
    for (const { total_g: total } of sheet.mix.pots) holds(total.shown.likely);
    const address = /This plan again: (http\S+#1[\w-]+)/.exec(text)?.[1];
    assert.ok(address, 'the link');
    assert.doesNotMatch(text, /Plans|Share as a link|What you know/, 'nothing of the screen');
    assert.ok(await page.locator('#paper .tick').count() >= 6, 'boxes to tick');
    assert.ok(await page.locator('#paper .readings span').count() >= 10, 'room for readings');

    // The link on the paper brings the plan back.
    const again = await context.newPage();
    await again.goto(address);
    await again.waitForFunction((name) => document.title.startsWith(name), document_.name);
    assert.deepEqual(complaints, []);
    await context.close();
  });
}

test('figures from before are marked as such on paper too, and an empty ticket says what is missing', async () => {
  const { context, page } = await ticket(here);
  await enter(page, 'room.humidity_pct', '180');
  await page.emulateMedia({ media: 'print' });
  await page.waitForFunction(() => /the figures are from before/.test(document.body.innerText));
  await page.emulateMedia({ media: 'screen' });
  await page.getByRole('button', { name: 'Plans' }).click();
  await page.getByRole('button', { name: 'New plan' }).click();
  await page.emulateMedia({ media: 'print' });
  await page.waitForFunction(() => /There is nothing to print yet/.test(document.body.innerText));
  await context.close();
});
