// The resin clock: entries of pots, cure and day, steps that begin with a tap, the countdown at the foot through everything, the calendar file, paper, handouts.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { barriers, kept, open, serve, siteDir } from './lib.mjs';
import { answerTo, at, drawn, enter, give, hear, keptPlan, openAll, openStage, ready, shop, ticket, under, whole } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

const roof = JSON.parse(await readFile(join(siteDir, 'examples', 'hive_roof.json'), 'utf8'));
const plain = (text) => text.replace(/[\s\u00a0\u202f]+/g, ' ').trim();
const START = '2026-11-26T08:30';

/** The clock of the device can be moved and stopped, and a speaker that counts its tones stands in for the real one. */
function bench() {
  const held = (key) => { try { return localStorage.getItem(key); } catch { return null; } };
  const real = Date;
  const now = () => Number(held('test.stands') ?? real.now() + Number(held('test.ahead') ?? 0));
  globalThis.Date = class extends real {
    constructor(...given) { super(...(given.length ? given : [now()])); }

    static now() { return now(); }
  };
  globalThis.tones = 0;
  globalThis.buzzed = 0;
  const node = { frequency: {}, gain: { setValueAtTime() {}, linearRampToValueAtTime() {} }, connect: (next) => next, stop() {}, start() { globalThis.tones += 1; } };
  globalThis.AudioContext = class {
    state = 'running';

    currentTime = 0;

    destination = node;

    resume() { return Promise.resolve(); }

    createOscillator() { return node; }

    createGain() { return node; }
  };
  Navigator.prototype.vibrate = () => { globalThis.buzzed += 1; return true; };
}

/** Moves the clock of the device to so many minutes after now, as it really is; the page looks as it does when the screen comes back. */
const moveTo = (page, minutes) => page.evaluate((min) => {
  localStorage.setItem('test.ahead', String(min * 60_000));
  dispatchEvent(new Event('pageshow'));
}, minutes);

/** Stops the clock of the device at a moment, so that nothing hangs on how fast this computer is. */
const stand = (page, moment) => page.evaluate((ms) => {
  localStorage.setItem('test.stands', String(ms));
  dispatchEvent(new Event('pageshow'));
}, moment);

/** Lets a clock that stands go on from where it is. */
const goOn = (page) => page.evaluate(() => {
  const stood = Date.now();
  localStorage.removeItem('test.stands');
  localStorage.setItem('test.ahead', '0');
  localStorage.setItem('test.ahead', String(stood - Date.now()));
  dispatchEvent(new Event('pageshow'));
});

/** The ticket with a plan on it. */
async function withPlan(more = {}, options = {}) {
  const plan = { ...roof, ...more };
  const opened = await ticket(here, { before: bench, ...options });
  await give(opened.page, 'plan.json', plan);
  await opened.page.waitForFunction((title) => document.title.startsWith(title), plan.name);
  await drawn(opened.page);
  return opened;
}

const sheetOf = async (page) => (await answerTo(page, await keptPlan(page))).sheet;
const clock = (page) => page.locator('#clock');
const rows = (page) => page.locator('#clock li').evaluateAll((all) => all.map((one) => [...one.querySelectorAll('.name, .left, .small')].map(({ textContent }) => textContent.replace(/\u00a0/g, ' '))));
const step = (page, key) => page.locator(`[id="at-step-${key.replace(/_/g, '_')}"]`);

/** Presses the button of a step. */
async function begin(page, key) {
  await openStage(page, 'day');
  await step(page, key).locator('.act > button').click();
  await drawn(page);
}

test('entries of pots, cure and day come, are asked only where they count, and are kept as typed', async () => {
  const { context, page, complaints } = await withPlan();
  for (const name of ['mix', 'cure', 'day']) await openStage(page, name);
  assert.equal(await at(page, 'mix.pot_kind').inputValue(), 'cup');
  assert.equal(await at(page, 'cure.mould_kind').inputValue(), 'laminate');
  assert.deepEqual([await at(page, 'mix.pot_length_mm').isVisible(), await at(page, 'mix.bath_c').isVisible()], [false, false]);
  await enter(page, 'mix.pot_kind', 'tray');
  assert.deepEqual([await at(page, 'mix.pot_length_mm').isVisible(), await at(page, 'mix.bath_c').isVisible()], [true, false]);
  await enter(page, 'mix.pot_kind', 'bath');
  assert.deepEqual([await at(page, 'mix.pot_length_mm').isVisible(), await at(page, 'mix.bath_c').isVisible()], [false, true]);
  await enter(page, 'cure.mould_kind', 'metal');
  await enter(page, 'cure.post_c', '60');
  await at(page, 'cure.post_on_mould').check();
  await enter(page, 'day.start', START);
  await enter(page, 'day.out_by', '2026-11-28T17:00');
  await enter(page, 'bag.feed_open_min', '4');
  assert.equal(await at(page, 'bag.feed_open_min').evaluate((one) => one.closest('.stage').id), 'stage-fill');
  let plan = await keptPlan(page);
  assert.deepEqual([plan.mix.pot_kind, plan.cure.mould_kind, plan.cure.post_c, plan.cure.post_on_mould, plan.day], ['bath', 'metal', 60, true, { start: START, out_by: '2026-11-28T17:00' }]);

  // What the plan has in it is not folded away when it comes back.
  await page.reload();
  await ready(page);
  await whole(page);
  assert.equal(await at(page, 'cure.post_c').evaluate((one) => one.closest('details').open), true);
  assert.equal(await at(page, 'cure.warm_c').evaluate((one) => one.closest('details').open), false);
  assert.equal(await at(page, 'day.start').inputValue(), START);
  await enter(page, 'day.start', '');
  plan = await keptPlan(page);
  assert.equal('start' in plan.day, false, 'cleared is taken out');

  // A moment that is none is told, and kept until something else is typed.
  await give(page, 'odd.json', { ...roof, name: 'Odd', day: { start: 'tomorrow' } });
  await page.waitForFunction(() => document.title.startsWith('Odd'));
  await page.locator('#problems:not([hidden])').waitFor();
  await page.locator('#problems .link').first().click();
  assert.match(await under(page, 'day.start').textContent(), /Write day and time like/);
  assert.equal((await keptPlan(page)).day.start, 'tomorrow');
  await enter(page, 'day.start', START);
  assert.equal(await page.locator('#problems').isHidden(), true);
  assert.deepEqual(complaints, []);
  await context.close();
});

for (const units of ['metric', 'us']) {
  test(`what the core says of pots, setting and day stands on the page: ${units}`, async () => {
    const { context, page, complaints } = await withPlan({ units, day: { start: START, out_by: '2026-11-27T10:00' }, mix: { ...roof.mix, weighed_resin_g: 300, weighed_hardener_g: 101, eew_g_eq: 189, ahew_g_eq: 43 }, cure: { ...roof.cure, post_c: 60 } });
    await openAll(page);
    await page.locator('#stage-mix .batch').first().waitFor();
    await openAll(page);
    const { pots, setting, day } = await sheetOf(page);
    const texts = Object.fromEntries(await Promise.all(['mix', 'cure', 'day'].map(async (name) => [name, plain(await page.locator(`#stage-${name}`).innerText())])));
    const holds = (name, all) => { for (const words of all.filter(Boolean)) assert.ok(texts[name].includes(plain(words)), `${name}: ${words}`); };
    const cell = ({ text, range }) => [text, range];
    const figure = ({ label, shown }) => [label, shown.likely, shown.range];
    assert.ok(pots.batches.length > 1 && pots.weighed && pots.formula && setting.post && setting.after_fill && day.conflicts.length > 0, 'there is something to see');
    holds('mix', [...pots.known, ...pots.turn, pots.pot.name, pots.pot.sentence, ...figure(pots.pot.use_by_min), ...figure(pots.pot.largest_calm_g), pots.pot.chart.sentence, pots.thickens.sentence, pots.converts.sentence,
      pots.weighed.sentence, ...figure(pots.weighed.off_pct), pots.formula.sentence, ...figure(pots.formula.amine_per_epoxide), ...figure(pots.speed),
      ...pots.batches.flatMap((one) => [one.resin, one.hardener, one.total, one.note, ...cell(one.mix_at), ...cell(one.pour_at), ...cell(one.empty_by)]),
      ...pots.vessels.flatMap((one) => [one.name, one.word, ...cell(one.use_by), ...cell(one.largest_calm)])]);
    holds('cure', [...setting.programme, setting.warms, setting.decides, setting.another_day, setting.hardness.sentence, setting.temperatures.sentence, setting.post.sentence, setting.after_fill.sentence, ...setting.after_fill.order, ...setting.proof,
      ...figure(setting.peak_c), ...figure(setting.post.lead_k), ...figure(setting.after_fill.even_out_min), ...setting.later.flatMap(({ after: when, tg }) => [when, ...cell(tg)]),
      ...setting.posts.flatMap(({ name, tg, fastest, takes }) => [name, ...cell(tg), ...cell(fastest), ...cell(takes)])]);
    holds('day', [day.head.answer, day.start_from, ...figure(day.hands_h), ...day.conflicts.flatMap(({ sentence, ways }) => [sentence, ...ways]),
      ...day.steps.flatMap((one) => [one.name, one.care, one.ends_when, one.until_text, ...cell(one.takes)])]);
    assert.deepEqual(await page.locator('.task').evaluateAll((all) => all.map(({ id }) => id.replace('at-step-', ''))), day.steps.map(({ key }) => key), 'in the order of the sheet');
    // Who a step needs is told in words, with a mark that is not colour alone.
    const needs = await page.locator('.task .need').allTextContents();
    day.steps.forEach(({ hands, watch, pairs }, place) => assert.match(needs[place], pairs > 1 ? /●● two pairs of hands/ : hands ? /● your hands/ : watch ? /◐ watch it/ : /○ only waits/));
    if (units === 'us') assert.match(texts.cure, /°F/);
    assert.deepEqual(complaints, []);
    await context.close();
  });
}

test('what stands in the way is told on the closed line too', async () => {
  const { context, page } = await withPlan({ day: { start: START, out_by: '2026-11-26T12:00' } });
  const { day } = await sheetOf(page);
  assert.ok(day.conflicts.length > 0);
  const text = plain(await page.locator('#stage-day').innerText());
  for (const { sentence } of day.conflicts) assert.ok(text.includes(plain(sentence)), sentence);
  await context.close();
});

test('a step begins with a tap; the countdown goes on through a reload and without a network, and ends with a sign', async () => {
  const server = await serve(undefined, '/clock/');
  const { context, page, complaints } = await open(here.chromium, { url: server.url, before: bench });
  await ready(page);
  await whole(page);
  await kept(page);
  await give(page, 'plan.json', roof);
  await page.waitForFunction((title) => document.title.startsWith(title), roof.name);
  await drawn(page);
  assert.equal(await clock(page).count(), 0, 'nothing runs');
  const from = Date.now();
  await begin(page, 'release');
  const plan = await keptPlan(page);
  const stamp = plan.stamps['day.began.release'];
  assert.match(plan.day.began.release, /^\d{4}-\d\d-\d\dT\d\d:\d\d$/);
  assert.ok(Date.parse(stamp) >= from && Date.parse(stamp) <= Date.now(), 'stamped when it was tapped');
  /** So many minutes after the tap. */
  const after = (minutes) => Date.parse(stamp) + minutes * 60_000;
  await stand(page, after(0));
  const { day } = await sheetOf(page);
  const found = day.steps.find(({ key }) => key === 'release');
  assert.equal(found.began, plan.day.began.release);
  const takes = found.ends_min - found.begins_min;
  let [[name, left, small]] = await rows(page);
  assert.equal(name, found.name);
  assert.equal(left, `${Math.ceil(takes)} min`);
  const wall = (min) => new Date(Date.parse(stamp) + min * 60_000).toTimeString().slice(0, 5);
  const [low, high] = found.ends_between_min.map((min) => wall(min - found.begins_min));
  assert.equal(small.replace(/(Mon|Tue|Wed|Thu|Fri|Sat|Sun) /g, ''), `until about ${wall(takes)}, ${low} to ${high}`);

  await server.stop();
  await stand(page, after(20));
  await page.reload();
  await ready(page);
  await whole(page);
  await clock(page).waitFor();
  [[name, left]] = await rows(page);
  assert.equal(left, `${Math.ceil(takes - 20)} min`, 'it went on while the page was gone');

  // Near the end seconds count, and the page does so by itself.
  await stand(page, after(takes - 0.5));
  [[, left]] = await rows(page);
  assert.equal(left, '0:30');
  await goOn(page);
  await page.waitForFunction((before) => document.querySelector('#clock .left').textContent !== before, left);
  await page.locator('#part-note').click();
  const typing = await page.evaluate(() => document.activeElement?.id);
  await stand(page, after(takes - 0.02));
  assert.equal(await page.evaluate(() => globalThis.tones), 0);
  await goOn(page);
  await page.locator('#clock .over').waitFor();
  await stand(page, after(takes + 0.1));
  [[name, left, small]] = await rows(page);
  assert.deepEqual([name, left, small], [`Time: ${found.name}`, 'just now', `Done when ${found.ends_when}.`]);
  assert.match(await page.title(), new RegExp(`^Time: ${found.name} - ${roof.name}`));
  assert.equal(await page.locator('#clock [role="status"]').textContent(), `Time: ${found.name}.`);
  assert.deepEqual(await page.evaluate(() => [globalThis.tones, globalThis.buzzed]), [3, 1]);
  assert.equal(await page.evaluate(() => document.activeElement?.id), typing, 'the focus stays');
  await stand(page, after(takes + 7));
  assert.equal((await rows(page))[0][1], '7 min ago');
  assert.equal(await page.evaluate(() => globalThis.tones), 3, 'once');

  // After a reload it is still told, but not rung again; put away, it stays away.
  await page.reload();
  await ready(page);
  await whole(page);
  await page.locator('#clock .over').waitFor();
  await page.locator('header h1').click();
  await stand(page, after(takes + 8));
  assert.equal(await page.evaluate(() => globalThis.tones), 0);
  await clock(page).getByRole('button', { name: /^Put away/ }).click();
  assert.equal(await clock(page).isVisible(), false);
  assert.match(await page.title(), new RegExp(`^${roof.name}`));
  await page.reload();
  await ready(page);
  await whole(page);
  assert.equal(await clock(page).isVisible(), false);
  // Steps that follow are reckoned from the mark.
  assert.equal((await sheetOf(page)).day.replanned, true);
  assert.deepEqual(complaints.filter((line) => !/Failed to load resource|ERR_/.test(line)), []);
  await context.close();
});

test('the next step ends the line of the one before; what runs beside it goes on; a pot has its own', async () => {
  const { context, page } = await withPlan();
  await begin(page, 'cut');
  await begin(page, 'release');
  const sheet = await sheetOf(page);
  const name = (key) => sheet.day.steps.find((one) => one.key === key).name;
  assert.deepEqual((await rows(page)).map(([first]) => first), [name('release')]);
  await begin(page, 'dry');
  assert.deepEqual((await rows(page)).map(([first]) => first).sort(), [name('dry'), name('release')].sort(), 'oven and coats side by side');
  await begin(page, 'lay');
  assert.deepEqual((await rows(page)).map(([first]) => first), [name('lay')], 'laid: out of the oven');
  await begin(page, 'mix_1');
  const [stir, pot] = await rows(page);
  assert.equal(stir[0], name('mix_1'));
  assert.equal(pot[0], 'Pot 1: use it up');
  const { pots } = await sheetOf(page);
  assert.equal(pot[1], `${Math.ceil(pots.pot.use_by_min.low)} min`, 'the early end counts');
  await begin(page, 'fill');
  assert.ok(!(await rows(page)).some(([first]) => first === name('mix_1')));
  assert.ok((await rows(page)).some(([first]) => first === 'Pot 1: use it up'), 'while it is poured');
  await moveTo(page, pots.pot.use_by_min.low + 1);
  assert.ok((await rows(page)).some(([first, , small]) => first === 'Time: Pot 1' && /past its use/.test(small)));
  await begin(page, 'clamp');
  assert.ok(!(await rows(page)).some(([first]) => /Pot/.test(first)), 'emptied by then');
  await context.close();
});

test('a clock that was set back, a mark of days ago, a mark that was forgotten, and none at all', async () => {
  const { context, page } = await withPlan();
  await begin(page, 'release');
  const steps = (await sheetOf(page)).day.steps.find(({ key }) => key === 'release');
  const whole_ = `${Math.ceil(steps.ends_min - steps.begins_min)} min`;
  for (const minutes of [-90, -3000]) {
    await moveTo(page, minutes);
    const [[, left]] = await rows(page);
    assert.equal(left, whole_, 'never more than the whole, never below nothing');
  }
  await moveTo(page, 3 * 24 * 60);
  const [[name, left]] = await rows(page);
  assert.match(name, new RegExp(`^${steps.name}: ended \\w{3} \\d\\d:\\d\\d$`));
  assert.equal(left, '');
  assert.equal(await page.locator('#clock .over').count(), 0, 'quietly');
  assert.match(await page.title(), new RegExp(`^${roof.name}`));

  // Begun twenty minutes ago, and noted only now: what is typed counts, not the tap.
  await moveTo(page, 0);
  await stand(page, Date.now());
  await step(page, 'release').locator('summary').click();
  const typed = await page.evaluate(() => {
    const then = new Date(Date.now() - 20 * 60_000);
    const two = (number) => String(number).padStart(2, '0');
    return `${then.getFullYear()}-${two(then.getMonth() + 1)}-${two(then.getDate())}T${two(then.getHours())}:${two(then.getMinutes())}`;
  });
  await at(page, 'day.began.release').fill(typed);
  await drawn(page);
  assert.equal((await keptPlan(page)).day.began.release, typed);
  const minutes = Number.parseInt((await rows(page))[0][1], 10);
  assert.ok(Math.abs(minutes - (Number.parseInt(whole_, 10) - 20)) <= 1, `${minutes}`);

  await step(page, 'release').getByRole('button', { name: 'Not begun' }).click();
  await drawn(page);
  assert.equal(await clock(page).isVisible(), false);
  assert.equal((await keptPlan(page)).day.began.release, undefined);
  await page.locator('.said').getByRole('button', { name: 'Undo' }).click();
  await drawn(page);
  assert.equal((await keptPlan(page)).day.began.release, typed);
  await page.getByRole('button', { name: 'Take all marks back' }).click();
  await drawn(page);
  assert.equal((await keptPlan(page)).day.began, undefined);
  await hear(page, /No step has begun now/);
  await page.locator('.said').getByRole('button', { name: 'Undo' }).first().click();
  await drawn(page);
  assert.equal((await keptPlan(page)).day.began.release, typed);
  await context.close();
});

test('no sound when it is switched off or nobody has tapped, and what the device keeps may be spoilt', async () => {
  const { context, page, complaints } = await withPlan();
  await page.evaluate(() => localStorage.setItem('bastwork.clock', '{"sound":"loud","away":7'));
  await begin(page, 'release');
  assert.equal(await page.locator('#clock-sound').isChecked(), true);
  await page.locator('#clock-sound').uncheck();
  assert.equal(JSON.parse(await page.evaluate(() => localStorage.getItem('bastwork.clock'))).sound, false);
  const release = (await sheetOf(page)).day.steps.find(({ key }) => key === 'release');
  await moveTo(page, release.ends_min - release.begins_min + 1);
  await page.locator('#clock .over').waitFor();
  assert.deepEqual(await page.evaluate(() => [globalThis.tones, globalThis.buzzed]), [0, 0]);
  await page.locator('#clock-sound').check();
  assert.equal(await page.evaluate(() => globalThis.tones), 3, 'switched on, it is heard once');
  assert.deepEqual(complaints, []);
  await context.close();
});

test('two tabs of one plan: a step begun in one counts in the other', async () => {
  const { context, page } = await withPlan();
  const other = await context.newPage();
  await other.goto(here.url);
  await ready(other);
  await whole(other);
  await openStage(other, 'day');
  await begin(page, 'cut');
  await keptPlan(page);
  await clock(other).waitFor();
  assert.deepEqual((await rows(other)).map(([name]) => name), (await rows(page)).map(([name]) => name));
  await moveTo(page, 300);
  await clock(page).getByRole('button', { name: /^Put away/ }).click();
  await other.waitForFunction(() => document.getElementById('clock').hidden);
  await context.close();
});

test('by keyboard alone: a step begins, its mark is changed and taken back, and the focus never falls off', async () => {
  const { context, page } = await withPlan({}, { viewport: { width: 1280, height: 900 }, isMobile: false, hasTouch: false });
  await openStage(page, 'day');
  await step(page, 'cut').locator('.act > button').focus();
  await page.keyboard.press('Enter');
  await drawn(page);
  const focus = () => page.evaluate(() => [document.activeElement.tagName, document.activeElement.textContent.trim().slice(0, 14)]);
  assert.deepEqual((await focus())[0], 'SUMMARY');
  assert.match((await focus())[1], /Began \d\d:\d\d/);
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  assert.equal(await page.evaluate(() => document.activeElement.type), 'datetime-local');
  await step(page, 'cut').getByRole('button', { name: 'Not begun' }).focus();
  await page.keyboard.press('Space');
  await drawn(page);
  assert.deepEqual(await focus(), ['BUTTON', 'Begin now']);
  await page.keyboard.press('Enter');
  await drawn(page);
  await clock(page).locator('a').first().focus();
  await page.keyboard.press('Enter');
  assert.equal(await page.evaluate(() => document.activeElement.id), 'stage-day-head');
  // The countdown does not speak: only its end does.
  assert.equal(await page.locator('#clock li').evaluateAll((all) => all.some((one) => one.closest('[aria-live], [role="status"], [role="timer"], [role="alert"]'))), false);
  await context.close();
});

test('on a small phone with gloves on: targets are big, nothing runs out, nothing keeps people out, running and over', async () => {
  for (const [colorScheme, width] of [['light', 360], ['dark', 320]]) {
    const { context, page, complaints } = await withPlan({ day: { start: START, out_by: '2026-11-27T10:00' }, mix: { ...roof.mix, weighed_resin_g: 300, weighed_hardener_g: 101 }, cure: { ...roof.cure, post_c: 60 } }, { viewport: { width, height: 740 }, colorScheme, reducedMotion: 'reduce' });
    await begin(page, 'release');
    await begin(page, 'dry');
    await openAll(page);
    await page.locator('#stage-mix .batch').first().waitFor();
    await openAll(page);
    for (const minutes of [0, 6 * 60]) {
      await moveTo(page, minutes);
      assert.equal(await page.locator('#clock .over').count(), minutes ? 2 : 0);
      assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), width);
      const small = await page.locator('#stage-day, #stage-mix, #stage-cure, #clock').evaluateAll((all) => all.flatMap((one) => [...one.querySelectorAll('button:not(.link), input:not([type="checkbox"]), select, summary, #clock a, .switch label')]
        .filter((target) => target.checkVisibility() && target.getBoundingClientRect().height < 47.5).map((target) => `${target.id || target.textContent} ${target.getBoundingClientRect().height}`)));
      assert.deepEqual(small, []);
      assert.deepEqual(await barriers(page), [], `${colorScheme} ${minutes}`);
    }
    assert.deepEqual(complaints, []);
    await context.close();
  }
});

/** A calendar file read as RFC 5545 has it: lines unfolded, one map of properties an event. */
function eventsOf(text) {
  assert.ok(text.split('\r\n').every((line) => Buffer.byteLength(line) <= 75 && !line.includes('\n')), 'folded lines that end as they must');
  const lines = text.replace(/\r\n[ \t]/g, '').trimEnd().split('\r\n');
  assert.deepEqual([lines[0], lines.at(-1)], ['BEGIN:VCALENDAR', 'END:VCALENDAR']);
  const events = [];
  let inside = [];
  for (const line of lines) {
    const [, name, value] = /^([A-Z-]+)[^:]*:(.*)$/.exec(line) ?? assert.fail(line);
    if (name === 'BEGIN') {
      inside.push(value);
      if (value === 'VEVENT') events.push(new Map());
    } else if (name === 'END') assert.equal(inside.pop(), value);
    else if (inside.at(-1) === 'VEVENT') events.at(-1).set(name, value.replace(/\\n/gi, '\n').replace(/\\([\\;,])/g, '$1'));
  }
  assert.deepEqual(inside, []);
  return events;
}

test('the calendar file holds every step; without a start a sentence says what to type', async () => {
  const { context, page } = await withPlan();
  await openStage(page, 'day');
  const button = page.getByRole('button', { name: 'Calendar file' });
  await button.click();
  await hear(page, /start|begin/i);
  await enter(page, 'day.start', START);
  const [download] = await Promise.all([page.waitForEvent('download'), button.click()]);
  assert.equal(download.suggestedFilename(), 'hive-roof.ics');
  const events = eventsOf(await readFile(await download.path(), 'utf8'));
  const { day } = await sheetOf(page);
  assert.equal(events.length, day.steps.length);
  day.steps.forEach((one) => {
    const event = events.find((found) => plain(found.get('SUMMARY')).includes(plain(one.name)) && found.get('DTSTART') === `${one.at.replace(/[-:]/g, '')}00`);
    assert.ok(event, `${one.name} at ${one.at}`);
    assert.equal(event.get('DTEND') ?? event.get('DTSTART'), `${one.until.replace(/[-:]/g, '')}00`);
  });
  assert.equal(new Set(events.map((event) => event.get('UID'))).size, events.length);
  assert.match(events[0].get('DTSTAMP'), /^\d{8}T\d{6}Z$/);
  await context.close();
});

test('with a start the paper has sheets of the day: steps and pots to tick, room for the real time, hardness', async () => {
  const { context, page } = await withPlan({ day: { start: START } });
  await page.waitForFunction(() => document.querySelector('#paper .paper-day') && document.querySelector('#paper .address'));
  await page.waitForTimeout(600);
  const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
  assert.ok([3, 4].includes((pdf.match(/\/Type\s*\/Page\b[^s]/g) ?? []).length), 'two sheets and one or two of the day');
  await page.emulateMedia({ media: 'print' });
  const { day, pots, setting } = await sheetOf(page);
  const text = plain(await page.locator('#paper .paper-day').innerText());
  for (const words of [day.head.answer, ...day.steps.flatMap((one) => [one.name, one.at_text.slice(-5), one.takes.text, one.ends_when, one.care]), ...day.conflicts.map(({ sentence }) => sentence),
    ...pots.batches.flatMap((one) => [one.resin, one.hardener, one.empty_by.text]), ...setting.after_fill.order]) assert.ok(text.includes(plain(words)), words);
  const ticks = await page.locator('#paper .paper-day tbody .tick').count();
  assert.equal(ticks, day.steps.length + pots.batches.length);
  assert.equal((await page.locator('#paper .paper-day tbody td:last-child').allTextContents()).every((cell) => cell === ''), true, 'room to write');
  assert.equal(await page.locator('#paper .paper-day .chart-view').isVisible(), true);
  assert.equal(await page.locator('#paper .paper-mix tbody .tick').count(), pots.batches.length);
  await context.close();
});

for (const [stage, holds] of [
  ['mix', ({ pots }) => [pots.pot.sentence, ...pots.turn, ...pots.batches.map(({ resin }) => resin), ...pots.vessels.map(({ name }) => name)]],
  ['cure', ({ setting }) => [setting.decides, ...setting.after_fill.order, ...setting.later.map(({ tg }) => tg.text), ...setting.posts.map(({ name }) => name)]],
  ['day', ({ day }) => [day.start_from, ...day.steps.map(({ name }) => name), ...day.conflicts.flatMap(({ sentence, ways }) => [sentence, ...ways])]],
]) {
  test(`the handout shows ${stage} in depth, with entries of its own`, async () => {
    const plan = { ...roof, cure: { ...roof.cure, post_c: 60 } };
    const fixed = { mix: 'mix.pot_kind=tray', cure: 'cure.mould_kind=metal', day: `day.start=${START}` }[stage];
    const opened = { mix: 'mix.stir_min', cure: 'cure.night_c', day: 'day.out_by' }[stage];
    const { context, page, complaints } = await open(here.chromium, { url: `${here.url}frame.html?stage=${stage}&fixed=${encodeURIComponent(fixed)}&open=${opened}&plan=${encodeURIComponent(JSON.stringify(plan))}`, serviceWorkers: 'block' });
    const element = page.locator('bast-work');
    await page.waitForFunction(() => document.querySelector('bast-work')?.shadowRoot?.querySelector('table, .told'));
    const [group, name] = fixed.split('=')[0].split('.');
    const { sheet } = await answerTo(page, { ...plan, [group]: { ...plan[group], [name]: fixed.split('=')[1] } });
    const text = plain(await element.evaluate(({ shadowRoot }) => shadowRoot.textContent));
    for (const words of holds(sheet).filter(Boolean)) assert.ok(text.includes(plain(words)), words);
    assert.doesNotMatch(text, /no entry of Bastwork/);
    const before = await element.locator('.answer').textContent();
    if (stage === 'day') {
      await element.getByLabel('It must be off the mould by').fill('2026-11-26T12:00');
      await page.waitForFunction(() => /in the way|too late|off/i.test(document.querySelector('bast-work').shadowRoot.textContent));
    } else await element.locator('.entry input').first().fill(stage === 'mix' ? '6' : '12');
    assert.ok(before.length > 10);
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true);
    assert.deepEqual(complaints, []);
    assert.deepEqual(await barriers(page), []);
    await context.close();
  });
}
