// The form: every entry that the core declares, in the place that the core gives it.
import { entryFor, isNeeded } from './asked.js';
import { h } from './dom.js';
import { logView } from './log.js';
import { get } from './path.js';
import { stackRows } from './stack_rows.js';
import { stockForm } from './stock.js';

/** What is more than one entry. @type {Record<string, (app: any, asked: import('./asked.js').Asked) => any>} */
const MAKE = {
  stack: (app) => stackRows(app),
  log(app, { key, label }) {
    const el = h('div', { class: 'log' });
    const view = logView(app, el, key);
    return { el, path: key, label, focus: () => el.querySelector('input')?.focus(), update: ({ problems }) => view.update(problems) };
  },
  stock(app, { key, label }) {
    const inside = h('div', {});
    const el = h('details', { class: 'stock' }, h('summary', {}, label), inside);
    el.addEventListener('toggle', () => { if (el.open) stockForm(app, inside); });
    return { el, path: key, label, focus: () => el.querySelector('summary')?.focus(), update() {} };
  },
};

/** Rows that stand many times in a plan are made by what holds them. */
const REPEATED = ['row', 'log', 'zone'];

/**
 * Builds the form for the reader's units.
 * @returns {{ at: (place: string) => HTMLElement[], find: (path: string) => import('./entry.js').Entry | null, update: (state: import('./entry.js').State) => void }}
 */
export function buildForm(app) {
  /** @type {{ asked: import('./asked.js').Asked, entry: any }[]} */
  const all = [];
  /** @type {Map<string, HTMLElement[]>} */
  const places = new Map();

  function made(asked) {
    const entry = entryFor(app, asked) ?? MAKE[asked.kind](app, asked);
    all.push({ asked, entry });
    return asked.kind === 'shelf' ? h('div', { class: 'with-own' }, entry.el, app.ownButton(asked.table, asked.key)) : entry.el;
  }

  for (const { place, fold, opens, entries } of app.core.form(app.units)) {
    if (REPEATED.includes(place)) continue;
    const inside = entries.map(made);
    const open = opens && entries.some(({ key }) => get(app.plan, key) !== undefined);
    const laid = fold ? [h('details', { class: 'fold', open }, h('summary', {}, fold), h('div', { class: 'entries' }, ...inside))] : inside;
    places.set(place, [...(places.get(place) ?? []), ...laid]);
  }

  const byPath = new Map(all.map(({ asked, entry }) => [asked.key, entry]));
  const rows = byPath.get('stack');
  byPath.delete('stack');

  /** An entry that is not needed goes, but not while it needs another look. */
  function showNeeded({ plan, problems }) {
    for (const { asked, entry } of all) {
      if (asked.needed) entry.el.hidden = !isNeeded(asked, plan) && !problems.has(asked.key) && !entry.el.contains(document.activeElement);
    }
  }

  return {
    at: (place) => places.get(place) ?? [],
    find: (path) => byPath.get(path) ?? rows.find(path),
    update(state) {
      for (const { entry } of all) entry.update(state);
      showNeeded(state);
    },
  };
}
