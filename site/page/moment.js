// An entry for a day and a time of day, as the clock on the wall of the shop shows it.
import { h, idFor, write } from './dom.js';
import { get } from './path.js';

/** @param {Date} at As a plan writes it: no zone, to the minute. */
export const asMoment = (at) => {
  const two = (/** @type {number} */ number) => String(number).padStart(2, '0');
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}T${two(at.getHours())}:${two(at.getMinutes())}`;
};

const MINUTE = 60_000;
const DAY = 1440 * MINUTE;
/** A job is looked for so far before and after the moments that its plan names, and so many settings of the clock in it. */
const BEFORE = 20 * DAY;
const AFTER = 120 * DAY;
const LONGEST = 1500 * DAY;
const MOST = 8;
/** The core reads no year beyond 2200. */
const LAST = Date.UTC(2201, 0);

/** Minutes by which the clock on the wall is ahead of UTC at an instant [ms]. */
const ahead = (/** @type {number} */ at) => -Math.round(new Date(at).getTimezoneOffset());

/** When a step was begun [ms]: to the second where its tap was stamped, else as the plan has it. */
export function begunAt(plan, key) {
  const text = plan.day?.began?.[key];
  if (typeof text !== 'string') return NaN;
  const stamp = new Date(plan.stamps?.[`day.began.${key}`] ?? '');
  return !Number.isNaN(stamp.getTime()) && asMoment(stamp) === text.slice(0, 16) ? stamp.getTime() : Date.parse(text);
}

/** Every setting of the clock between two instants, as the plan's `day.zone` has it: by the rules that this device knows. */
function settings(/** @type {number} */ from, /** @type {number} */ to) {
  const found = [];
  for (let at = from; at < to && found.length < MOST; at += DAY) {
    let [before, after] = [at, at + DAY];
    const [old, now] = [ahead(before), ahead(after)];
    if (old === now) continue;
    while (after - before > MINUTE) {
      const middle = before + Math.floor((after - before) / MINUTE / 2) * MINUTE;
      if (ahead(middle) === old) before = middle;
      else after = middle;
    }
    found.push({ at: new Date(after + old * MINUTE).toISOString().slice(0, 16), from_min: old, to_min: now });
  }
  return found;
}

/**
 * The plan as the core is asked about it: with the days on which the clock of this device is set, and with the one of two equal
 * hours in which a step was begun. What is kept stays without a zone.
 */
export function inZone(plan) {
  const day = plan?.day;
  if (!day || typeof day !== 'object' || Array.isArray(day)) return plan;
  const began = day.began && typeof day.began === 'object' ? day.began : {};
  const named = [day.start, day.out_by].map((text) => (typeof text === 'string' ? Date.parse(text) : NaN));
  const steps = Object.keys(began).map((key) => [key, begunAt(plan, key)]).filter(([, at]) => Number.isFinite(at));
  const all = [...named, ...steps.map(([, at]) => at)].filter((at) => at >= 0 && at < LAST);
  if (all.length === 0) return plan;
  const from = Math.floor((Math.min(...all) - BEFORE) / MINUTE) * MINUTE;
  const zone = settings(from, Math.min(Math.max(...all) + AFTER, from + LONGEST));
  const two = (/** @type {number} */ number) => String(number).padStart(2, '0');
  const told = steps.filter(([key, at]) => plan.stamps?.[`day.began.${key}`] && asMoment(new Date(at)) === began[key].slice(0, 16)).map(([key, at]) => {
    const minutes = ahead(at);
    return [key, `${began[key].slice(0, 16)}${minutes < 0 ? '-' : '+'}${two(Math.floor(Math.abs(minutes) / 60))}:${two(Math.abs(minutes) % 60)}`];
  });
  const { clock_at: _, clock_goes: __, ...others } = day;
  return { ...plan, day: { ...others, zone, ...(told.length > 0 && { began: { ...began, ...Object.fromEntries(told) } }) } };
}

/** @returns {import('./entry.js').Entry} */
export function momentEntry(app, { path, label, hint = '' }) {
  const id = idFor(path);
  const input = h('input', { id, type: 'datetime-local', 'aria-describedby': `${id}-under` });
  const under = h('p', { class: 'under', id: `${id}-under` });
  let problem;
  function tell() {
    const held = get(app.plan, path);
    const half = input.validity.badInput && document.activeElement !== input ? 'Type both the day and the time.' : '';
    // What a browser cannot show here stays in the plan until something else is typed.
    const kept = held && !input.value && !input.validity.badInput && document.activeElement !== input ? `the plan says "${held}"` : '';
    const said = half || problem;
    under.classList.toggle('problem', Boolean(said));
    write(under, said || kept || hint);
    if (said) input.setAttribute('aria-invalid', 'true');
    else input.removeAttribute('aria-invalid');
  }
  input.addEventListener('input', () => app.set(path, input.value === '' ? undefined : input.value.slice(0, 16)));
  input.addEventListener('blur', tell);
  return {
    el: h('div', { class: 'entry' }, h('label', { for: id }, label), h('div', { class: 'well' }, input), under),
    path, label,
    focus: () => input.focus({ preventScroll: true }),
    update({ plan, problems }) {
      problem = problems.get(path);
      const text = String(get(plan, path) ?? '').slice(0, 16);
      // While somebody types, a moment is half there and reads as none.
      if (input.value !== text && document.activeElement !== input && !(input.validity.badInput && !text)) input.value = text;
      tell();
    },
  };
}
