// The handout: the element twice and the frame once, on the demo's own page.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { open } from './lib.mjs';
import { answerTo, shop } from './ticket.mjs';

let here;
before(async () => { here = await shop('/class/'); });
after(() => here.stop());

/** Opens a page and waits until every element on it has an answer or says why not. */
async function handout(path, options = {}) {
  const opened = await open(here.chromium, { url: here.url + path, serviceWorkers: 'block', ...options });
  await opened.page.waitForFunction(() => [...document.querySelectorAll('bast-work')].every(({ shadowRoot }) => shadowRoot?.querySelector('.answer, .problem')?.textContent));
  return opened;
}

const answer = (element) => element.locator('.answer').textContent();

test('two elements and a frame: what is fixed is given, what is open is computed anew, and nothing is stored', async () => {
  const { context, page, complaints, away } = await handout('examples/handout.html');
  const [dry, mix] = [page.locator('bast-work').first(), page.locator('bast-work').nth(1)];

  assert.match(await dry.locator('.given-list').innerText(), /oven[\s\S]*60.°C/i);
  assert.equal(await dry.getByLabel('Temperature of the oven').count(), 0, 'no entry for what is fixed');
  const before = await answer(dry);
  await dry.getByLabel('Humidity where the cloth is kept').fill('80,5');
  assert.notEqual(await answer(dry), before);
  const plan = { ...JSON.parse(await dry.getAttribute('plan')), dry: { oven_c: 60 }, store: { humidity_pct: 80.5 } };
  assert.equal(await answer(dry), (await answerTo(page, plan)).sheet.dry.head.answer);
  await dry.getByLabel('Humidity where the cloth is kept').fill('180');
  assert.match(await dry.locator('.under.problem').textContent(), /you typed 180/);
  assert.match(await answer(dry), /waits for "Humidity/);
  await dry.getByLabel('Humidity where the cloth is kept').fill('80,5');
  await dry.locator('.main-figure button').click();
  assert.match(await dry.locator('.main-figure .panel').innerText(), /Rests on[\s\S]*What went in[\s\S]*Sources/);

  const mixed = await answer(mix);
  await mix.getByRole('button', { name: /^One more/ }).click();
  assert.notEqual(await answer(mix), mixed);
  assert.match(await mix.locator('.given-list').innerText(), /peel ply[\s\S]*yes/i);
  assert.match(await mix.locator('.origin').textContent(), /own device/);

  const frame = page.frames().find((one) => one.url().includes('frame.html')).locator('bast-work');
  const hours = await answer(frame);
  await frame.getByLabel('Temperature in the shop').fill('14');
  assert.notEqual(await answer(frame), hours);

  assert.deepEqual(await page.evaluate(() => [localStorage.length, sessionStorage.length, document.cookie]), [0, 0, '']);
  assert.deepEqual(await page.evaluate(() => indexedDB.databases()), []);
  assert.deepEqual(complaints, []);
  assert.deepEqual(away, []);
  assert.ok(here.server.asked.every((path) => path.startsWith('/class/')));
  await context.close();
});

test('it brings its own paper, or takes the colours of the page around it', async () => {
  const { context, page } = await handout('examples/handout.html');
  const look = (element) => element.evaluate((one) => {
    const { backgroundColor, color, fontFamily } = getComputedStyle(one);
    return { backgroundColor, color, serif: fontFamily === getComputedStyle(document.body).fontFamily, ofPage: color === getComputedStyle(document.body).color };
  });
  const own = await look(page.locator('bast-work').first());
  const taken = await look(page.locator('bast-work').nth(1));
  assert.equal(own.backgroundColor, 'rgb(246, 241, 230)');
  assert.equal(own.serif, false);
  assert.deepEqual([taken.backgroundColor, taken.serif, taken.ofPage], ['rgba(0, 0, 0, 0)', true, true]);
  await page.evaluate(() => { document.body.style.setProperty('color', 'rgb(10, 60, 20)'); });
  const after_ = await look(page.locator('bast-work').nth(1));
  assert.equal(after_.color, 'rgb(10, 60, 20)', 'follows the page');
  await context.close();
});

test('the frame takes a question, a plan and entries from its address, and follows it', async () => {
  const plan = { format: 1, part: { area_m2: 2, flow_length_mm: 300 }, stack: [{ fabric: 'flax_twill_300', count: 1, angle_deg: 0 }], resin: 'infusion_epoxy_slow' };
  const { context, page, complaints } = await handout(`frame.html?stage=mix&open=part.area_m2&plan=${encodeURIComponent(JSON.stringify(plan))}`);
  const element = page.locator('bast-work');
  assert.equal(await answer(element), (await answerTo(page, plan)).sheet.mix.head.answer);
  assert.equal(await element.getByLabel('Area of the part').inputValue(), '2');
  await page.evaluate(() => { location.hash = '#stage=cure'; });
  await page.waitForFunction((words) => document.querySelector('bast-work').shadowRoot.querySelector('.question').textContent === words, (await answerTo(page, plan)).sheet.cure.head.question);
  assert.deepEqual(complaints, []);
  await context.close();
});

test('odd and hostile attributes are told in a sentence and reach nothing', async () => {
  const { context, page, complaints } = await handout('frame.html?stage=dry');
  for (const [attributes, wanted] of [
    [{ stage: 'x' }, /no stage "x"/], [{ plan: '{' }, /cannot be read/], [{ plan: '[1]' }, /cannot be read/],
    [{ stage: 'dry', open: '__proto__.x,constructor.prototype.y,<img src=x>' }, /names "__proto__\.x"/],
    [{ stage: 'dry', fixed: '__proto__.hacked=1;dry.__proto__=2;=;;a' }, /no entry of Bastwork/],
    [{ stage: 'dry', plan: '{"stack":[{"fabric":"<img src=x onerror=hacked=1>","count":1}]}' }, /<img src=x/],
  ]) {
    const text = await page.evaluate(async (given) => {
      const element = document.createElement('bast-work');
      for (const [name, value] of Object.entries(given)) element.setAttribute(name, value);
      document.body.append(element);
      for (let wait = 0; wait < 100 && !element.shadowRoot.querySelector('.answer, .problem')?.textContent; wait += 1) await new Promise((done) => { setTimeout(done, 20); });
      const found = `${element.shadowRoot.textContent} ${element.shadowRoot.querySelectorAll('img').length || ''}`;
      element.remove();
      return found;
    }, attributes);
    assert.match(text, wanted);
  }
  assert.equal(await page.evaluate(() => globalThis.hacked ?? {}.hacked ?? {}.x ?? null), null);
  assert.deepEqual(complaints, []);
  await context.close();
});
