// The steps that have begun, in a line at the foot: what is left of each by the clock on the wall, and a sign when its time is up.
import { h, still, write } from './dom.js';
import { asMoment, begunAt } from './moment.js';
import { ring, unlocked } from './tone.js';

const MINUTE = 60_000;
/** Below this, seconds are counted. */
const LAST = 10 * MINUTE;
/** What ended longer ago was not waited for by anybody. */
const FRESH = 10 * MINUTE;
const PAST = 12 * 60 * MINUTE;
/** Longest wait that a browser's timer can hold. */
const LONGEST = 2 ** 31 - 1;
/** Lines at the foot; the others are counted. */
const MOST = 2;
/** What may begin while a step goes on; whatever else begins after it tells that it has ended. */
const BESIDE = { release: /^dry$/, dry: /^release$/, fill: /^mix/, wet: /^mix/ };
const KEPT = 'bastwork.clock';
/** Marks put away or rung that are remembered. */
const REMEMBERED = 60;

/** What a device that keeps nothing holds until the page is left. */
let held = { sound: true, away: /** @type {string[]} */ ([]), rung: /** @type {string[]} */ ([]) };

/** What this device keeps of the clock: whether it sounds, which ends were put away, which have rung. */
export function settings() {
  try {
    const { sound, away, rung } = JSON.parse(localStorage.getItem(KEPT) ?? 'null') ?? held;
    return { sound: sound !== false, away: Array.isArray(away) ? away : [], rung: Array.isArray(rung) ? rung : [] };
  } catch {
    return held;
  }
}

/** @param {Record<string, any>} changed */
export function keepSettings(changed) {
  const { sound, away, rung } = { ...settings(), ...changed };
  held = { sound, away: away.slice(-REMEMBERED), rung: rung.slice(-REMEMBERED) };
  try { localStorage.setItem(KEPT, JSON.stringify(held)); } catch { /* It holds for now. */ }
}

/** Notes that a step begins now. */
export function begin(app, key) {
  const now = new Date();
  app.plan.stamps = { ...app.plan.stamps, [`day.began.${key}`]: now.toISOString() };
  app.set(`day.began.${key}`, asMoment(now));
  app.flush();
}

/** Takes such a note back. */
export function notBegun(app, key, name) {
  const { id, stamps = {}, day } = app.plan;
  const [stamp, began] = [stamps[`day.began.${key}`], day?.began?.[key]];
  const put = (/** @type {any} */ text, /** @type {any} */ when) => {
    const { [`day.began.${key}`]: _, ...others } = app.plan.stamps ?? {};
    app.plan.stamps = when ? { ...others, [`day.began.${key}`]: when } : others;
    app.set(`day.began.${key}`, text);
    app.flush();
  };
  put(undefined, null);
  app.say(`"${name}" is not begun.`, { undo: () => { if (app.plan.id !== id) app.open(id); put(began, stamp); } });
}

/**
 * The steps that have begun and whose next one has not, the first to end first; a pot in hand counts beside its step.
 * @returns {{ id: string, key: string, name: string, start: number, end: number, between: number[], when: string, pot: boolean }[]}
 */
export function runningOf(plan, sheet) {
  const steps = sheet?.day?.steps ?? [];
  const started = steps.map(({ key }) => begunAt(plan, key));
  const out = [];
  steps.forEach((step, at) => {
    const start = started[at];
    if (Number.isNaN(start)) return;
    const timer = (name, ends, between, pot = false) => ({
      id: [plan.id, step.key, pot ? 'pot' : '', start].join(' '), key: step.key, name, start, end: start + ends * MINUTE, between: between.map((min) => start + min * MINUTE), when: pot ? '' : step.ends_when, pot,
    });
    const over = steps.some((other, place) => place !== at && (started[place] > start || (started[place] === start && place > at)) && !BESIDE[step.key]?.test(other.key));
    if (!over && step.ends_min > step.begins_min) {
      out.push(timer(step.name, step.ends_min - step.begins_min, step.ends_between_min.map((min) => min - step.begins_min)));
    }
    const [, number] = /^mix(?:_(\d+))?$/.exec(step.key) ?? [];
    const use = sheet.pots?.pot.use_by_min;
    const emptied = steps.some((other, place) => started[place] > start && !/^(mix|fill|wet)/.test(other.key));
    // A pot may be past its use sooner than is likely: the early end counts.
    if (/^mix/.test(step.key) && use && !emptied) out.push(timer(number ? `Pot ${number}` : 'The pot', use.low, [use.low, use.likely], true));
  });
  return out.sort((one, other) => one.end - other.end);
}

/** A time on the wall as the sheet writes it, with its day when that is another one. */
export const wall = (at) => {
  const today = new Date().toDateString() === new Date(at).toDateString();
  const far = Math.abs(Date.now() - at) > 6 * 24 * 60 * MINUTE;
  const day = today ? '' : new Intl.DateTimeFormat('en-GB', { weekday: 'short', ...(far && { day: 'numeric', month: 'short' }) }).format(at);
  return [day, new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit' }).format(at)].filter(Boolean).join(' ');
};

/** A length of time: seconds count near its end only. */
export function lengthOf(ms) {
  const left = Math.max(0, ms);
  if (left < LAST) return `${Math.floor(left / MINUTE)}:${String(Math.floor((left % MINUTE) / 1000)).padStart(2, '0')}`;
  const minutes = Math.ceil(left / MINUTE);
  return minutes < 180 ? `${minutes}\u00a0min` : `${Math.floor(minutes / 60)}\u00a0h ${minutes % 60}\u00a0min`;
}

const agoOf = (ms) => (ms < MINUTE ? 'just now' : ms < 180 * MINUTE ? `${Math.floor(ms / MINUTE)}\u00a0min ago` : `${Math.floor(ms / (60 * MINUTE))}\u00a0h ago`);

/** What a timer says now. */
export function saidOf({ name, start, end, between: [low, high], when, pot }, now) {
  if (now < end) {
    // A clock that was set back never gives more than the whole.
    const left = lengthOf(Math.min(end - now, end - start));
    // To the minute, as the timetable has it, which knows no seconds.
    const [ends, early, late] = [end, low, high].map((at) => wall((Math.floor(start / MINUTE) + Math.round((at - start) / MINUTE)) * MINUTE));
    if (pot) return { name: `${name}: use it up`, left, small: `by ${ends}, the earliest; likely ${late}` };
    return { name, left, small: `until about ${ends}${early === late ? '' : `, ${early} to ${late}`}` };
  }
  if (now - end > PAST) return { name: `${name}: ended ${wall(end)}`, left: '', small: '' };
  return { name: `Time: ${name}`, left: agoOf(now - end), small: pot ? 'It may be past its use: look how thick it is.' : when && `Done when ${when}.` };
}

let line = null;

/** Keeps the line at the foot up to date with plan and sheet. */
export function showClock(app, sheet) {
  if (!line && runningOf(app.plan, sheet).length > 0) line = clockLine(app);
  line?.update(sheet);
}

function clockLine(app) {
  const list = h('ul', {});
  const more = h('a', { href: '#stage-day', class: 'link', hidden: true, on: { click: toDay } });
  const heard = h('p', { class: 'unseen', role: 'status' });
  const el = h('section', { id: 'clock', 'aria-label': 'Steps that have begun', hidden: true }, list, more, heard);
  document.getElementById('strip')?.before(el);
  /** @type {Map<string, any>} */
  const rows = new Map();
  /** Timers seen running on this page: their end is waited for. */
  const seen = new Set();
  const told = new Set();
  let sheet = null;
  let timer = 0;
  let prefix = '';

  function toDay(event) {
    event.preventDefault();
    const head = document.getElementById('stage-day-head');
    if (head?.getAttribute('aria-expanded') === 'false') head.click();
    head?.scrollIntoView({ block: 'start', behavior: still() ? 'auto' : 'smooth' });
    head?.focus({ preventScroll: true });
  }

  function rowOf({ id }) {
    const [name, left, small] = ['name', 'left', 'small'].map((className) => h('span', { class: className }));
    const put = h('button', { type: 'button', class: 'quiet', hidden: true, on: { click() { keepSettings({ away: [...settings().away, id] }); look(); } } }, 'Put away');
    const go = h('a', { href: '#stage-day', on: { click: toDay } }, name, left, small);
    return { el: h('li', {}, go, put), name, left, small, put };
  }

  function look() {
    clearTimeout(timer);
    const now = Date.now();
    const { away: gone } = settings();
    const all = runningOf(app.plan, sheet).filter(({ id }) => !gone.includes(id));
    const shown = all.slice(0, MOST);
    for (const one of all) {
      if (now < one.end) seen.add(one.id);
      else sound(one, now);
    }
    for (const [id, row] of rows) if (!shown.some((one) => one.id === id)) { row.el.remove(); rows.delete(id); }
    shown.forEach((one, place) => {
      const row = rows.get(one.id) ?? rowOf(one);
      rows.set(one.id, row);
      if (list.children[place] !== row.el) list.insertBefore(row.el, list.children[place] ?? null);
      const said = saidOf(one, now);
      for (const part of ['name', 'left', 'small']) write(row[part], said[part]);
      const ended = now >= one.end;
      row.el.classList.toggle('over', ended && now - one.end <= PAST);
      row.put.hidden = !ended;
      row.put.setAttribute('aria-label', `Put away: ${said.name}`);
    });
    more.hidden = all.length <= MOST;
    write(more, all.length > MOST ? `${all.length - MOST} more under Day` : '');
    el.hidden = all.length === 0;
    title(all.find(({ end }) => now >= end && now - end <= PAST));
    wait(all, now);
  }

  /** Looks again when something changes that can be seen; hidden, only when the next one ends. */
  function wait(all, now) {
    const left = all.map(({ end }) => end - now).filter((ms) => ms > 0);
    if (all.length === 0 || (document.hidden && left.length === 0)) return;
    const next = Math.min(...left);
    let delay = 20_000;
    if (document.hidden) delay = next;
    else if (next <= LAST) delay = next % 1000 || 1000;
    else if (left.length > 0) delay = Math.min(delay, next - LAST);
    timer = setTimeout(look, Math.min(delay + 10, LONGEST));
  }

  /** The sign that a time is up: said once, heard where a tap has let it, felt where the device can. */
  function sound({ id, name, end, pot }, now) {
    if (told.has(id)) return;
    told.add(id);
    const { rung: before, sound: wanted } = settings();
    if (before.includes(id) || (!seen.has(id) && now - end > FRESH)) return;
    keepSettings({ rung: [...before, id] });
    heard.textContent = `Time: ${name}${pot ? ' may be past its use' : ''}.`;
    if (!wanted) return;
    ring();
    if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.([300, 150, 300, 150, 300]);
  }

  /** What has ended leads the title of the page, for those who look from another tab. */
  function title(ended) {
    const bare = prefix && document.title.startsWith(prefix) ? document.title.slice(prefix.length) : document.title;
    prefix = ended ? `Time: ${ended.name} - ` : '';
    if (document.title !== prefix + bare) document.title = prefix + bare;
  }

  for (const event of ['visibilitychange', 'resume']) document.addEventListener(event, look);
  for (const event of ['pageshow', 'focus']) window.addEventListener(event, look);
  window.addEventListener('storage', ({ key }) => { if (key === KEPT || key === null) look(); });
  // Browsers let a page sound only after a tap on it.
  unlocked();
  return {
    update(now) {
      sheet = now;
      look();
    },
  };
}
