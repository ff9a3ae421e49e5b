// The whole job on a clock: the steps in order with a button when each begins, what stands in the way, and the calendar file.
import { begin, keepSettings, notBegun, settings, wall } from './clock.js';
import { spread, table } from './damp.js';
import { h, idFor, write } from './dom.js';
import { fetchPart } from './parts.js';
import { begunAt, inZone, momentEntry } from './moment.js';
import { noteLine } from './stage.js';
import { make, ring } from './tone.js';

/** Who a step needs: a mark, and the same in words. */
export const needOf = ({ hands, watch, pairs }) => (pairs > 1 ? ['\u25cf\u25cf', 'two pairs of hands'] : hands ? ['\u25cf', 'your hands'] : watch ? ['\u25d0', 'watch it'] : ['\u25cb', 'only waits']);

/** The day of a step, and its time of day; without a start only how long after it. */
export const whenOf = ({ at, at_text: text }) => (at ? { day: text.slice(0, -6), time: text.slice(-5) } : { day: '', time: text });

/** What stands in the way, each with its ways out. */
export const conflictList = (conflicts) => h('ul', { class: 'notes' }, ...conflicts.map(({ sentence, ways }) => {
  const line = noteLine({ weight: 'problem', sentence });
  if (ways.length > 0) line.append(h('ul', { class: 'told-list' }, ...ways.map((way) => h('li', {}, way))));
  return line;
}));

/** The steps as a table, for handouts. */
export const stepTable = ({ steps }) => table('Step by step', ['When', 'What', 'Takes', 'Needs'],
  steps.map((step) => [step.at_text, step.name, spread(step.takes.text, step.takes.range), needOf(step)[1]]), 'steps-table');

/** One step that is kept up to date; what is open in it stays open. */
function stepRow(app, key) {
  const [time, takes, ends, care, name] = ['time', 'takes', 'ends', 'care', 'name'].map((className) => h(className === 'name' ? 'h4' : 'p', { class: className }));
  const began = h('summary', {});
  const now = h('button', { type: 'button', on: { click() { make(); begin(app, key); app.workNow(); began.focus(); } } }, 'Begin now');
  const entry = momentEntry(app, { path: `day.began.${key}`, label: 'It began', hint: 'as the clock on the wall had it' });
  let called = key;
  const back = h('button', { type: 'button', class: 'quiet', on: { click() { change.open = false; notBegun(app, key, called); app.workNow(); now.focus(); } } }, 'Not begun');
  const change = h('details', { class: 'begun', hidden: true }, began, entry.el, h('p', { class: 'buttons' }, back));
  const el = h('li', { class: 'task', id: idFor(`step.${key}`) }, time, h('div', { class: 'what' }, name, takes, ends, care), h('div', { class: 'act' }, now, change));
  return {
    el,
    update(step, latest, next) {
      called = step.name;
      write(time, whenOf(step).time);
      write(name, step.name);
      const [mark, words] = needOf(step);
      takes.replaceChildren(h('span', { class: 'need' }, h('span', { 'aria-hidden': 'true' }, mark), ` ${words}`), ' ', spread(step.takes.text, step.takes.range),
        step.at && h('span', { class: 'until' }, `until about ${step.until_text}`));
      write(ends, step.ends_when && `Done when ${step.ends_when}.`);
      care.replaceChildren(...(step.care ? [h('strong', {}, '! '), step.care] : []));
      for (const part of [ends, care]) part.hidden = !part.firstChild;
      const at = begunAt(app.plan, key);
      const is = app.plan.day?.began?.[key] !== undefined;
      now.hidden = is;
      now.classList.toggle('main', key === next);
      now.setAttribute('aria-label', `Begin now: ${step.name}`);
      change.hidden = !is;
      write(began, Number.isNaN(at) ? 'Began' : `\u2713 Began ${wall(at)}`);
      entry.update({ plan: app.plan, problems: new Map() });
      el.classList.toggle('now', key === latest);
      if (key === latest) el.setAttribute('aria-current', 'step');
      else el.removeAttribute('aria-current');
    },
  };
}

/** Hands the day on to a calendar. */
async function toCalendar(app) {
  const stamp = new Date().toISOString().replace(/[-:]|\.\d+/g, '');
  const { calendar, problems } = app.core.calendar(inZone(app.plan), app.own, stamp);
  if (problems) return app.say(problems.map(({ sentence }) => sentence).join(' '));
  const { saveText } = await fetchPart('files');
  return app.say(saveText(app.plan, calendar, 'ics', 'text/calendar'));
}

/** Takes every mark back, for a job that begins anew. */
function anew(app) {
  const { id, day, stamps = {} } = app.plan;
  const [before, then] = [day?.began, stamps];
  const put = (/** @type {any} */ began, /** @type {any} */ kept) => {
    app.plan.stamps = kept;
    app.set('day.began', began);
    app.flush();
  };
  put(undefined, Object.fromEntries(Object.entries(stamps).filter(([path]) => !path.startsWith('day.began.'))));
  app.say('No step has begun now.', { undo: () => { if (app.plan.id !== id) app.open(id); put(before, { ...app.plan.stamps, ...then }); } });
}

/** Fills in the day. */
export function dayIn(places, hooks) {
  const { app } = hooks;
  const from = h('p', {});
  const calendar = h('button', { type: 'button', on: { click: () => void toCalendar(app) } }, 'Calendar file');
  const again = h('button', { type: 'button', class: 'quiet', hidden: true, on: { click: () => anew(app) } }, 'Take all marks back');
  const box = h('input', { type: 'checkbox', id: 'clock-sound' });
  box.addEventListener('change', () => {
    keepSettings({ sound: box.checked });
    make();
    if (box.checked) ring();
  });
  const sound = h('div', { class: 'entry switch' }, h('label', { for: 'clock-sound' }, box, h('span', {}, 'Sound when a step is due to end')),
    h('p', { class: 'under' }, 'on this device, while this page is open'));
  const [conflicts, list] = [h('div', {}), h('ol', { class: 'steps' })];
  const el = h('div', { hidden: true }, from, conflicts, h('h3', {}, 'Step by step'), list, h('div', { class: 'buttons' }, calendar, again), sound);
  places.section.append(el);
  /** @type {Map<string, ReturnType<typeof stepRow>>} */
  const rows = new Map();
  let standing = '';
  let said = '';
  return {
    update(day) {
      el.hidden = !day && !el.contains(document.activeElement);
      if (!day) return;
      box.checked = settings().sound;
      write(from, day.start_from);
      const wayward = JSON.stringify(day.conflicts);
      if (wayward !== said) {
        said = wayward;
        conflicts.replaceChildren(...(day.conflicts.length ? [h('h3', {}, 'What stands in the way'), conflictList(day.conflicts)] : []));
      }
      again.hidden = Object.keys(app.plan.day?.began ?? {}).length === 0;
      const begun = day.steps.filter(({ key }) => !Number.isNaN(begunAt(app.plan, key)));
      const latest = begun.reduce((last, step) => (last && begunAt(app.plan, last.key) > begunAt(app.plan, step.key) ? last : step), null)?.key;
      const place = day.steps.findIndex(({ key }) => key === latest);
      const next = day.steps.slice(place + 1).find((step) => !begun.includes(step))?.key;
      for (const { key } of day.steps) if (!rows.has(key)) rows.set(key, stepRow(app, key));
      for (const step of day.steps) rows.get(step.key)?.update(step, latest, next);
      const order = JSON.stringify(day.steps.map((step) => [step.key, whenOf(step).day]));
      if (order === standing) return;
      standing = order;
      const focused = document.activeElement;
      let before = '';
      list.replaceChildren(...day.steps.flatMap((step) => {
        const { day: date } = whenOf(step);
        const head = date && date !== before ? [h('li', { class: 'date' }, h('h4', {}, date))] : [];
        before = date;
        return [...head, /** @type {any} */ (rows.get(step.key)).el];
      }));
      if (focused !== document.activeElement && list.contains(focused)) /** @type {HTMLElement} */ (focused).focus({ preventScroll: true });
    },
  };
}
