// The form: every entry the core knows, each in the stage where the hands need it.
import { ASKS } from './asks.js';
import { h } from './dom.js';
import { choiceEntry, numberEntry, switchEntry, textEntry } from './entry.js';
import { fold, shells, stageOf, unneeded } from './further.js';
import { groupsOf } from './groups.js';
import { stackRows } from './stack_rows.js';

/** Readings taken at a gauge or a scale: they can be stamped with the time. */
const READINGS = new Set(['bag.pressure_mbar_abs', 'bag.gauge_reading', 'dry.swatch_kept_g', 'dry.swatch_dried_g', 'measured.thickness_mm']);

/** Where the entries that are not numbers stand: each after the number it goes with, or first in its stage. */
const WORDS = [
  { after: 'bag.gauge_reading', path: 'bag.gauge_kind' },
  { after: 'bag.gauge_reading', path: 'bag.flow_mesh' },
  { after: 'bag.gauge_reading', path: 'bag.peel_ply' },
  { first: 'fill', path: 'fill.feed' },
  { after: 'prepreg.resin_pct', path: 'prepreg.mass_with_resin' },
  { after: 'dry.oven_c', path: 'dry.faces' },
  { after: 'dry.oven_c', path: 'dry.fan' },
  { first: 'trim', path: 'trim.tool' },
  { after: 'trim.marked_m_s', path: 'trim.unmarked' },
  { after: 'trim.marked_m_s', path: 'trim.sharp' },
  { after: 'trim.feed_mm_s', path: 'trim.finish_grit' },
  { first: 'suit', path: 'part.matters' },
  { first: 'suit', path: 'suit.equal' },
  { first: 'load', path: 'load.case' },
  { first: 'load', path: 'load.held' },
  { first: 'load', path: 'load.sides' },
  { after: 'target.heaviest_g_m2', path: 'target.glass' },
  { after: 'target.heaviest_g_m2', path: 'target.carbon' },
  { after: 'target.heaviest_g_m2', path: 'target.core' },
  { after: 'target.heaviest_g_m2', path: 'target.in_stock_only' },
  { after: 'target.heaviest_g_m2', path: 'target.unbalanced' },
  { after: 'dry.oven_c', path: 'dry.closed' },
  { after: 'mix.resin_c', path: 'mix.pot_kind' },
  { after: 'cure.hours_h', path: 'cure.mould_kind' },
  { after: 'cure.post_after_h', path: 'cure.post_on_mould' },
  { after: 'service.temperature_c', path: 'service.colour' },
  { after: 'service.temperature_c', path: 'service.facing' },
  { after: 'service.temperature_c', path: 'service.wind' },
  { after: 'service.temperature_c', path: 'service.back' },
  { after: 'service.air_c', path: 'service.wet' },
];

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
  shells(app, place, keep);
  const numbers = app.core.entries(app.units);
  const top = {};
  for (const entry of numbers) {
    if (entry.key === 'part.area_m2' || entry.key === 'part.flow_length_mm') {
      top[entry.key] = number(entry);
      continue;
    }
    // What the bag holds back and the gauge shows counts for wet layup in a bag too, which has no fill.
    const stage = stageOf(entry) ?? (entry.group === 'bag' && entry.stage === 'fill' ? 'above' : entry.stage);
    place(stage, number(entry));
    for (const spec of WORDS.filter(({ after }) => after === entry.key)) place(stage, word(spec));
  }

  /** An entry that is not needed goes, but not while it needs another look. */
  function showNeeded({ plan, problems }) {
    for (const [path, { el }] of all) el.hidden = unneeded(path, plan) && !problems.has(path) && !el.contains(document.activeElement);
  }

  fold(stages, app.plan);
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
