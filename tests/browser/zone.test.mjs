// The nights on which the clock on the wall is set: timetable, foot and calendar file go by one clock, that of the device.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { siteDir } from './lib.mjs';
import { drawn, give, keptPlan, openStage, shop, ticket } from './ticket.mjs';

let here;
before(async () => { here = await shop(); });
after(() => here.stop());

const roof = JSON.parse(await readFile(join(siteDir, 'examples', 'hive_roof.json'), 'utf8'));
const MINUTE = 60_000;

/** The clock of the device can be put to an instant, and runs on from there. */
function bench() {
  const ahead = () => { try { return Number(localStorage.getItem('test.ahead') ?? 0); } catch { return 0; } };
  const real = Date;
  globalThis.Date = class extends real {
    constructor(...given) { super(...(given.length ? given : [real.now() + ahead()])); }

    static now() { return real.now() + ahead(); }
  };
  globalThis.realNow = () => real.now();
}

/** Puts the clock of the device to an instant, a second after the full minute. */
const putTo = async (page, at) => {
  await page.evaluate((now) => {
    localStorage.setItem('test.ahead', String(now - globalThis.realNow()));
    dispatchEvent(new Event('pageshow'));
  }, at + 1000);
  await drawn(page);
};

/** What a wall clock in a zone shows: by the time zone data of Node, not by anything of ours. */
function wallIn(timeZone) {
  const format = new Intl.DateTimeFormat('en-CA', { timeZone, year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', hourCycle: 'h23' });
  return (at) => {
    const part = Object.fromEntries(format.formatToParts(at).map(({ type, value }) => [type, value]));
    return `${part.year}-${part.month}-${part.day}T${part.hour}:${part.minute}`;
  };
}

const rows = (page) => page.locator('#clock li').evaluateAll((all) => all.map((one) => [...one.querySelectorAll('.name, .left, .small')].map(({ textContent }) => textContent.replace(/\u00a0/g, ' '))));
/** Every step as the page shows it: key, time of day, the end, when it began. */
const shown = (page) => page.locator('.task').evaluateAll((all) => all.map((one) => [one.id.replace('at-step-', ''), one.querySelector('.time').textContent,
  /\d\d:\d\d/.exec(one.querySelector('.until')?.textContent.slice(-5) ?? '')?.[0] ?? '', one.querySelector('.begun summary').textContent]));
const sheetOf = async (page) => {
  const plan = await keptPlan(page);
  return page.evaluate(async (given) => {
    const { core } = await import(new URL('core.js', document.baseURI));
    return core.sheet(given, null).sheet;
  }, plan);
};

/** The evening before a clock is set [UTC], what its zone is called, and the moment at which it is set. */
const NIGHTS = [
  ['Europe/Berlin', '2026-03-28T19:00Z', '2026-03-29T01:00Z'],
  ['Europe/Berlin', '2026-10-24T18:00Z', '2026-10-25T01:00Z'],
  ['America/New_York', '2026-03-08T00:00Z', '2026-03-08T07:00Z'],
  ['America/New_York', '2026-10-31T23:00Z', '2026-11-01T06:00Z'],
  ['Australia/Lord_Howe', '2026-04-04T08:00Z', '2026-04-04T15:00Z'],
];

for (const [timezoneId, evening, set] of NIGHTS) {
  test(`${timezoneId}, the night of ${set}: every time is the wall's own, in the day, at the foot and in the calendar`, async () => {
    const wall = wallIn(timezoneId);
    const start = Date.parse(evening);
    const { context, page, complaints } = await ticket(here, { before: bench, timezoneId });
    await putTo(page, start);
    await give(page, 'plan.json', { ...roof, name: 'Night', day: { start: wall(start), from_h: 0, to_h: 24 } });
    await page.waitForFunction(() => document.title.startsWith('Night'));
    await openStage(page, 'day');
    // Lengths do not depend on the clock: the core tells them without any zone.
    const { day: { steps } } = await sheetOf(page);
    const at = (minutes) => start + Math.round(minutes) * MINUTE;
    const instants = new Map(steps.map(({ key, begins_min: begins, ends_min: ends }) => [key, [at(begins), at(ends)]]));
    assert.ok([...instants.values()].some(([from, to]) => from < Date.parse(set) && to > Date.parse(set)), 'something goes on meanwhile');
    for (const [key, time, until] of await shown(page)) {
      assert.deepEqual([time, until], instants.get(key).map((one) => wall(one).slice(-5)), key);
    }
    assert.match(await page.locator('#stage-day').innerText(), /On \w{3} \d+ \w{3} \d\d:\d\d it is set (on|back) to \d\d:\d\d/);

    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Calendar file' }).click()]);
    const file = (await readFile(await download.path(), 'utf8')).replace(/\r\n[ \t]/g, '');
    const stamps = (name) => [...file.matchAll(new RegExp(`^${name}:(\\d{4})(\\d\\d)(\\d\\d)T(\\d\\d)(\\d\\d)00Z\r$`, 'gm'))].map(([, year, month, date, hour, minute]) => Date.UTC(year, month - 1, date, hour, minute));
    assert.deepEqual(stamps('DTSTART'), steps.map(({ key }) => instants.get(key)[0]));
    assert.deepEqual(stamps('DTEND'), steps.map(({ key }) => instants.get(key)[1]));

    // The long wait begins: an hour before the clock is set, then, where an hour comes twice, in the second of the two.
    const [waits] = steps.filter(({ key }) => /^(gel|set|cure|demould|clamp)/.test(key)).map(({ key }) => key);
    const longest = steps.reduce((most, step) => (step.ends_min - step.begins_min > most.ends_min - most.begins_min ? step : most));
    assert.ok(waits && longest.ends_min - longest.begins_min > 240, 'a step that lasts through the night');
    for (const begun of [Date.parse(set) - 60 * MINUTE, Date.parse(set) - 30 * MINUTE, Date.parse(set) + 15 * MINUTE]) {
      await putTo(page, begun);
      await page.locator(`[id="at-step-${longest.key}"] .act > button`).click();
      await drawn(page);
      const plan = await keptPlan(page);
      assert.equal(plan.day.began[longest.key], wall(begun), 'kept as the wall has it');
      assert.equal('zone' in plan.day, false, 'the zone is not kept in the plan');
      const ends = wall(begun + Math.round(longest.ends_min - longest.begins_min) * MINUTE).slice(-5);
      const [, time, until, began] = (await shown(page)).find(([key]) => key === longest.key);
      assert.deepEqual([time, began], [wall(begun).slice(-5), `\u2713 Began ${wall(begun).slice(-5)}`]);
      assert.equal(until, ends, 'in the timetable');
      const foot = (await rows(page)).find(([name]) => longest.name.startsWith(name) || name === longest.name);
      assert.ok(foot, 'it runs at the foot');
      assert.equal(/until about (?:\w{3} )?(\d\d:\d\d)/.exec(foot[2])[1], ends, 'at the foot');
      await page.getByRole('button', { name: 'Take all marks back' }).click();
      await drawn(page);
    }
    assert.deepEqual(complaints, []);
    await context.close();
  });
}

test('a clock that was typed before browsers were asked stays in the plan, and the device has its say', async () => {
  const { context, page, complaints } = await ticket(here, { before: bench, timezoneId: 'Europe/Berlin' });
  await give(page, 'plan.json', { ...roof, name: 'Typed', day: { start: '2026-10-24T20:00', from_h: 0, to_h: 24, clock_at: '2026-10-25T03:00', clock_goes: 'back' } });
  await page.waitForFunction(() => document.title.startsWith('Typed'));
  await openStage(page, 'day');
  const { day } = await sheetOf(page);
  assert.deepEqual((await shown(page)).map(([key, time]) => [key, time]), day.steps.map(({ key, at_text: text }) => [key, text.slice(-5)]), 'the same night, told twice');
  assert.equal((await keptPlan(page)).day.clock_goes, 'back');

  // What is no moment is told, with or without a tap that was stamped.
  for (const [place, day_] of [{ began: { fill: 7 } }, { began: [null] }, { start: '+275760-09-13T00:00', began: { fill: '275760-09-13' } }].entries()) {
    await give(page, 'odd.json', { ...roof, name: `Odd ${place}`, day: day_, stamps: { 'day.began.fill': '2026-10-24T20:00:00Z' } });
    await page.waitForFunction((title) => document.title.startsWith(title), `Odd ${place}`);
    await page.locator('#problems:not([hidden])').waitFor();
  }
  assert.deepEqual(complaints, []);
  await context.close();
});
