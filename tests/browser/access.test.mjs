// Nobody is kept out, in any state of the page: names and contrast, 48 px to press, no sideways scrolling, stillness when asked.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { barriers, open } from './lib.mjs';
import { at, drawn, enter, inPlans, openAll, openStage, shop, stages, strip, ticket } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

/** Controls too small for a thumb: all of them 48 px high, and wide too where the label does not rule the width. */
const small = (page) => page.evaluate(() => {
  const roots = [document, ...[...document.querySelectorAll('bast-work')].map(({ shadowRoot }) => shadowRoot)];
  const controls = roots.flatMap((root) => [...root.querySelectorAll('button, select, input, textarea, summary, a')]);
  return controls.filter((one) => one.checkVisibility() && !one.matches('.skip, .file')).flatMap((one) => {
    const { width, height } = (one.type === 'checkbox' ? one.closest('label') : one).getBoundingClientRect();
    const thin = one.matches('a, .link, summary') ? 0 : 47.5;
    return height < 47.5 || width < thin ? [`${one.tagName} "${(one.id || one.textContent).trim().slice(0, 40)}" ${Math.round(width)} x ${Math.round(height)}`] : [];
  });
});

/** What sticks out at the side. */
const wide = (page) => page.evaluate(() => {
  const { scrollWidth, clientWidth } = document.documentElement;
  if (scrollWidth <= clientWidth) return [];
  return [`${scrollWidth} of ${clientWidth}`, ...[...document.querySelectorAll('body *')]
    .filter((one) => one.getBoundingClientRect().right > clientWidth + 1 && !one.closest('.skip, .unseen, svg')).slice(0, 4).map((one) => `${one.tagName}.${one.className}`)];
});

/** Looks at the page as it stands, at two widths. */
async function look(page, state) {
  const { height } = page.viewportSize();
  for (const width of [320, 360]) {
    await page.setViewportSize({ width, height });
    assert.deepEqual(await wide(page), [], `${state}: sideways at ${width} px`);
  }
  assert.deepEqual(await small(page), [], `${state}: too small`);
  assert.deepEqual(await barriers(page), [], state);
}

test('the first screen, each stage, a figure\'s sources and a problem', async () => {
  const { context, page } = await ticket(here, { reducedMotion: 'reduce' });
  await look(page, 'first screen');
  for (const name of await stages(page)) {
    await openStage(page, name);
    await page.locator(`#stage-${name} .main-figure button.figure`).click();
    await look(page, name);
  }
  await enter(page, 'room.humidity_pct', '180');
  await look(page, 'problem');
  await openAll(page);
  await look(page, 'everything open');
  await context.close();
});

test('the list of plans with a link, a deleted plan and its undo', async () => {
  const { context, page } = await ticket(here, { reducedMotion: 'reduce' });
  await enter(page, 'name', 'Roof of the third hive with a name that is longer than a line of a small phone');
  await inPlans(page, 'Copy this plan');
  await inPlans(page, 'Share as a link');
  await page.locator('#share-link').waitFor();
  await look(page, 'plans');
  await page.getByRole('button', { name: /^Delete .*\(copy\)$/ }).click();
  await page.locator('#say .said').first().waitFor();
  await look(page, 'deleted');
  await context.close();
});

for (const [name, wanted] of [['Your own cloth', /mass/i], ['Your own resin', /viscosity/i], ['Your own core', /./], ['Your own tool', /./]]) {
  test(`writing a material: ${name}, with what is missing told`, async () => {
    const { context, page } = await ticket(here, { reducedMotion: 'reduce' });
    await openAll(page);
    await page.getByRole('button', { name }).click();
    const form = page.locator('.own-place:not([hidden])');
    assert.match(await form.innerText(), wanted);
    await form.getByRole('button', { name: 'Keep and use it' }).click();
    await look(page, name);
    await context.close();
  });
}

test('in the dark, in US units, several cloths', async () => {
  const { context, page } = await ticket(here, { reducedMotion: 'reduce', colorScheme: 'dark' });
  await look(page, 'dark');
  await page.getByRole('button', { name: 'Add a cloth or core' }).click();
  await enter(page, 'units', 'us');
  await enter(page, 'part.area_m2', 'much');
  await openAll(page);
  await page.locator('#stage-mix .main-figure button.figure').click();
  await look(page, 'dark, US units, problem');
  await context.close();
});

test('the handout and the frame', async () => {
  for (const [path, colorScheme] of [['examples/handout.html', 'light'], ['frame.html?stage=dry&open=store.humidity_pct,dry.fan,dry.faces', 'light'], ['frame.html?stage=mix&open=stack.0.count', 'dark'], ['frame.html?stage=bag&open=bag.gauge_step,dry.pump_m3_h', 'light']]) {
    const { context, page } = await open(here.chromium, { url: here.url + path, colorScheme, serviceWorkers: 'block' });
    await page.waitForFunction(() => [...document.querySelectorAll('bast-work')].every(({ shadowRoot }) => /\d/.test(shadowRoot?.querySelector('.answer .big')?.textContent ?? '')));
    await look(page, path);
    const element = page.locator('bast-work').first();
    await element.locator('.main-figure button').click();
    await element.locator('input[inputmode]').first().fill('180x');
    await look(page, `${path}, a problem`);
    await context.close();
  }
});

test('figures settle in motion, and not for a reader who asks for stillness', async () => {
  const moved = {};
  for (const reducedMotion of ['no-preference', 'reduce']) {
    const { context, page } = await ticket(here, {
      reducedMotion,
      before: () => {
        globalThis.motions = [];
        const { animate } = Element.prototype;
        Element.prototype.animate = function noted(...args) { globalThis.motions.push('animate'); return animate.apply(this, args); };
        const { scrollIntoView } = Element.prototype;
        Element.prototype.scrollIntoView = function noted(options) { if (options?.behavior === 'smooth') globalThis.motions.push('scroll'); return scrollIntoView.call(this, options); };
      },
    });
    await enter(page, 'part.area_m2', '0,9');
    await page.locator('#strip a').last().click();
    await drawn(page);
    moved[reducedMotion] = await page.evaluate(() => [...new Set(globalThis.motions)].sort());
    assert.ok((await strip(page)).mix);
    const css = await page.evaluate(() => [...document.querySelectorAll('*')].filter((one) => {
      const style = getComputedStyle(one);
      return style.animationName !== 'none' || Number.parseFloat(style.transitionDuration) > 0;
    }).length);
    assert.equal(css, 0, 'nothing moves by style alone');
    await context.close();
  }
  assert.deepEqual(moved, { 'no-preference': ['animate', 'scroll'], reduce: [] });
});

test('entries bring up the right keypad', async () => {
  const { context, page } = await ticket(here);
  await openAll(page);
  const keypads = await page.locator('main input[type="text"]:not(#at-name, #stock-currency, #at-day-closed)').evaluateAll((all) => all.map((one) => one.inputMode));
  assert.ok(keypads.length > 30);
  assert.deepEqual([...new Set(keypads)].sort(), ['decimal', 'numeric']);
  assert.equal(await at(page, 'stack.0.count').getAttribute('inputmode'), 'numeric');
  await context.close();
});
