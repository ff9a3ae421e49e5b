// The form: every entry the core knows, each in the stage where the hands need it.
import { h } from './dom.js';
import { choiceEntry, numberEntry, switchEntry, textEntry } from './entry.js';
import { groupsOf } from './materials.js';
import { stackRows } from './stack_rows.js';

/** Readings taken at a gauge or a scale: they can be stamped with the time. */
const READINGS = new Set(['bag.pressure_mbar_abs', 'bag.gauge_reading', 'dry.swatch_kept_g', 'dry.swatch_dried_g', 'measured.thickness_mm']);

/** Entries that are not numbers, each after the number it goes with, or first in its stage. */
const WORDS = [
  { after: 'bag.gauge_reading', path: 'bag.gauge_kind', label: 'What the gauge shows', list: 'gauge_kind', usual: 'mbar_absolute' },
  { after: 'bag.gauge_reading', path: 'bag.flow_mesh', label: 'A flow mesh lies on the stack', yes: false, hint: 'an open net that lets resin run ahead, and keeps some of it' },
  { after: 'bag.gauge_reading', path: 'bag.peel_ply', label: 'A peel ply lies on the stack', yes: true, hint: 'a thin cloth that you tear off after cure; it keeps some resin' },
  { first: 'fill', path: 'fill.feed', label: 'Where resin enters', list: 'feed', usual: 'edge' },
  { after: 'dry.oven_c', path: 'dry.faces', label: 'How the plies lie in the oven', list: 'faces', usual: 'two' },
  { after: 'dry.oven_c', path: 'dry.fan', label: 'The oven has a fan', yes: false },
  { first: 'trim', path: 'trim.tool', label: 'Tool for the edge', table: 'tools', usual: 'cutting_disc_75' },
  { after: 'trim.marked_m_s', path: 'trim.unmarked', label: 'The tool carries no marking of its speed', yes: false },
  { after: 'trim.marked_m_s', path: 'trim.sharp', label: 'The tool is sharp', yes: true },
  { after: 'trim.feed_mm_s', path: 'trim.finish_grit', label: 'Grit to finish with', list: 'grits', usual: 'P240' },
];

const USUAL_RESIN = 'infusion_epoxy_slow';

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
    else if (stage === 'bag') bag.push(el);
    else stages.set(stage, [...(stages.get(stage) ?? []), el]);
  };

  const word = (spec) => {
    if (spec.yes !== undefined) return keep(switchEntry(app, { path: spec.path, label: spec.label, usual: spec.yes, hint: spec.hint }));
    const groups = spec.table
      ? (value) => groupsOf(app.shelf, spec.table, value)
      : () => [{ heading: null, options: app.choices[spec.list] ?? [] }];
    const el = keep(choiceEntry(app, { path: spec.path, label: spec.label, groups, usual: spec.usual }));
    if (!spec.table) return el;
    return h('div', { class: 'with-own' }, el, app.ownButton(spec.table, spec.path));
  };

  for (const spec of WORDS.filter(({ first }) => first)) place(spec.first, word(spec));
  const number = (entry) => keep(numberEntry(app, {
    path: entry.key, label: entry.label, hint: entry.hint, unit: entry.unit, usual: entry.usual, now: READINGS.has(entry.key),
  }));
  const numbers = app.core.entries(app.units);
  const top = {};
  for (const entry of numbers) {
    if (entry.key === 'part.area_m2' || entry.key === 'part.flow_length_mm') {
      top[entry.key] = number(entry);
      continue;
    }
    // What the bag holds back and the gauge shows counts for wet layup in a bag too, which has no fill.
    const stage = entry.group === 'bag' && entry.stage === 'fill' ? 'bag' : entry.stage;
    place(stage, number(entry));
    for (const spec of WORDS.filter(({ after }) => after === entry.key)) place(stage, word(spec));
  }

  const rows = stackRows(app);
  const resin = keep(choiceEntry(app, {
    path: 'resin', label: 'Resin', groups: (value) => groupsOf(app.shelf, 'resins', value), usual: USUAL_RESIN,
  }));
  const route = keep(choiceEntry(app, {
    path: 'route', label: 'Way of moulding', groups: () => [{ heading: null, options: app.choices.route }], usual: 'infusion',
  }));
  const units = keep(unitsEntry(app));
  return {
    name: keep(textEntry(app, { path: 'name', label: 'Name of the part', className: 'part-name' })),
    note: keep(textEntry(app, { path: 'note', label: 'Notes to this job', long: true })),
    first: [top['part.area_m2'], rows.el, h('div', { class: 'with-own' }, resin, app.ownButton('resins', 'resin'))],
    second: [route, top['part.flow_length_mm']],
    shop: [...shop, units],
    bag,
    stages,
    find: (path) => all.get(path) ?? rows.find(path),
    update(state) {
      rows.update(state);
      for (const entry of all.values()) entry.update(state);
    },
  };
}

function unitsEntry(app) {
  return choiceEntry(app, { path: 'units', label: 'Units', groups: () => [{ heading: null, options: app.choices.units }], usual: 'metric' });
}
