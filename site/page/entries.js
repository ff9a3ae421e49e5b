// The form: every entry the core knows, each in the stage where the hands need it.
import { ASKS } from './asks.js';
import { h } from './dom.js';
import { choiceEntry, numberEntry, switchEntry, textEntry } from './entry.js';
import { views } from './later.js';
import { groupsOf } from './groups.js';
import { stackRows } from './stack_rows.js';

/** Readings taken at a gauge or a scale: they can be stamped with the time. */
const READINGS = new Set(['bag.pressure_mbar_abs', 'bag.gauge_reading', 'dry.swatch_kept_g', 'dry.swatch_dried_g', 'measured.thickness_mm']);

/** Where the entries that are not numbers stand: each after the number it goes with, or first in its stage. */
const WORDS = [
  { after: 'bag.gauge_reading', path: 'bag.gauge_kind' },
  { after: 'bag.gauge_reading', path: 'bag.flow_mesh' },
  { after: 'bag.gauge_reading', path: 'bag.peel_ply' },
  { first: 'suit', path: 'part.matters' },
  { first: 'suit', path: 'suit.equal' },
  { first: 'load', path: 'load.case' },
  { first: 'load', path: 'load.held' },
  { after: 'target.heaviest_g_m2', path: 'target.glass' },
  { after: 'target.heaviest_g_m2', path: 'target.carbon' },
  { after: 'target.heaviest_g_m2', path: 'target.core' },
  { after: 'target.heaviest_g_m2', path: 'target.in_stock_only' },
  { after: 'target.heaviest_g_m2', path: 'target.unbalanced' },
  { first: 'fill', path: 'fill.feed' },
  { after: 'dry.oven_c', path: 'dry.faces' },
  { after: 'dry.oven_c', path: 'dry.fan' },
  { after: 'dry.oven_c', path: 'dry.closed' },
  { first: 'trim', path: 'trim.tool' },
  { after: 'trim.marked_m_s', path: 'trim.unmarked' },
  { after: 'trim.marked_m_s', path: 'trim.sharp' },
  { after: 'trim.feed_mm_s', path: 'trim.finish_grit' },
];

/** What is seldom known, and folded away in its stage; and what belongs beside a log. */
const RARE = /^(bag\.(syringe|gauge_|pump_down|catch_pot_l)|dry\.(vacuum_lines|bleed|heat_up)|cure\.hottest)/;
const BESIDE_LOG = 'dry.tray_g';

/** What each way of loading needs to be told; what it does not need is put away and kept. */
const NEEDED = {
  pressure: ['held', 'length_mm', 'width_mm', 'pressure_kpa', 'limit_mm', 'reserve'],
  point: ['held', 'length_mm', 'width_mm', 'force_n', 'patch_mm', 'limit_mm', 'reserve'],
  strip_middle: ['length_mm', 'width_mm', 'force_n', 'limit_mm', 'reserve'],
  strip_end: ['length_mm', 'width_mm', 'force_n', 'limit_mm', 'reserve'],
  strip_even: ['length_mm', 'pressure_kpa', 'limit_mm', 'reserve'],
  edge: ['edge_n_mm', 'reserve'],
};

/**
 * Builds the form for the reader's units.
 * @returns {{ name: HTMLElement, note: HTMLElement, first: HTMLElement[], second: HTMLElement[], shop: HTMLElement[], bag: HTMLElement[],
 *   stages: Map<string, HTMLElement[]>, find: (path: string) => import('./entry.js').Entry | null, update: (state: import('./entry.js').State) => void }}
 */
export function buildForm(app) {
  /** @type {Map<string, import('./entry.js').Entry>} */
  const all = new Map();
  const stages = new Map();
  const shop = [];
  const bag = [];
  const keep = (entry) => { all.set(entry.path, entry); return entry.el; };
  const place = (stage, el) => {
    if (stage === 'start') shop.push(el);
    else if (stage === 'above') bag.push(el);
    else stages.set(stage, [...(stages.get(stage) ?? []), el]);
  };

  const word = ({ path }) => {
    const { label, list, table, none, usual, hint } = ASKS[path];
    if (!list && !table) return keep(switchEntry(app, { path, label, usual, hint }));
    const groups = table
      ? (value) => groupsOf(app.shelf, table, value)
      : () => [{ heading: null, options: [...(none ? [{ word: '', label: none }] : []), ...(app.choices[list] ?? [])] }];
    const el = keep(choiceEntry(app, { path, label, groups, usual }));
    return table ? h('div', { class: 'with-own' }, el, app.ownButton(table, path)) : el;
  };

  for (const spec of WORDS.filter(({ first }) => first)) place(spec.first, word(spec));
  const number = (entry) => keep(numberEntry(app, {
    path: entry.key, label: entry.label, hint: entry.hint, unit: entry.unit, usual: entry.usual, now: READINGS.has(entry.key),
  }));
  place('bag-log', keep(logShell(app, 'bag.test', 'Readings of the gauge')));
  place('dry-log', keep(logShell(app, 'dry.weighings', 'Weighings')));
  const numbers = app.core.entries(app.units);
  const top = {};
  for (const entry of numbers) {
    if (entry.key === 'part.area_m2' || entry.key === 'part.flow_length_mm') {
      top[entry.key] = number(entry);
      continue;
    }
    // What the bag holds back and the gauge shows counts for wet layup in a bag too, which has no fill.
    let { stage } = entry;
    if (entry.group === 'load') stage = 'load';
    else if (entry.group === 'bag' && stage === 'fill') stage = 'above';
    else if (entry.key === BESIDE_LOG) stage += '-log';
    else if (RARE.test(entry.key)) stage += '-rare';
    place(stage, number(entry));
    for (const spec of WORDS.filter(({ after }) => after === entry.key)) place(stage, word(spec));
  }

  place('suit', stockShell(app));

  /** Only what the chosen way of loading and the oven need; an entry that needs another look stays. */
  function showNeeded({ plan, problems }) {
    const needed = NEEDED[plan.load?.case] ?? [];
    for (const [path, { el }] of all) {
      const [group, name] = path.split('.');
      const wanted = path === 'dry.oven_l' ? plan.dry?.closed === true : group !== 'load' || name === 'case' || needed.includes(name);
      el.hidden = !wanted && !problems.has(path) && !el.contains(document.activeElement);
    }
  }

  const rows = stackRows(app);
  return {
    name: keep(textEntry(app, { path: 'name', label: 'Name of the part', className: 'part-name' })),
    note: keep(textEntry(app, { path: 'note', label: 'Notes to this job', long: true })),
    first: [top['part.area_m2'], rows.el, word({ path: 'resin' })],
    second: [word({ path: 'route' }), top['part.flow_length_mm']],
    shop: [...shop, word({ path: 'units' })],
    bag,
    stages,
    find: (path) => all.get(path) ?? rows.find(path),
    update(state) {
      rows.update(state);
      for (const entry of all.values()) entry.update(state);
      showNeeded(state);
    },
  };
}

/** A log of readings: built once the whole core, which knows them, and its views are here. */
function logShell(app, path, label) {
  const el = h('div', { class: 'log' });
  let view = null;
  let problems;
  return {
    el, path, label,
    focus: () => el.querySelector('input')?.focus(),
    update(state) {
      ({ problems } = state);
      if (view) view.update(problems);
      else if (app.core.is_whole?.()) {
        void views().then((found) => {
          view ??= found?.logView(app, el, path);
          view?.update(problems);
        });
      }
    },
  };
}

/** Prices and stock: fetched and built when it is first opened. */
function stockShell(app) {
  const place = h('div', {});
  const shell = h('details', { class: 'stock' }, h('summary', {}, 'Prices and stock'), place);
  shell.addEventListener('toggle', () => { if (shell.open) void views().then((found) => found?.stockForm(app, place)); });
  return shell;
}
