// What only the whole core asks: the entries of suit, load, pots, cure, day and the logs, and where they stand.
import { ASKS } from './asks.js';
import { showClock } from './clock.js';
import { h } from './dom.js';
import { textEntry } from './entry.js';
import { logView } from './log.js';
import { inZone, momentEntry } from './moment.js';
import { stockForm } from './stock.js';

export { withOld } from './deep.js';
export { inZone };

Object.assign(ASKS, {
  'dry.closed': { label: 'The oven is shut tight', usual: false, hint: 'the water that leaves the cloth stays in its air' },
  'part.matters': { label: 'What counts most', list: 'matters', usual: 'nothing' },
  'suit.equal': { label: 'Compare at', list: 'equal', usual: 'stiffness' },
  'load.case': { label: 'How it is loaded', list: 'load_case', none: 'nothing stated', usual: '' },
  'load.held': { label: 'How its ends or edges are held', list: 'held', usual: 'resting' },
  'load.sides': { label: 'The long edges of a pushed part are', list: 'sides', usual: 'free' },
  'target.glass': { label: 'Glass cloth may be used', usual: true },
  'target.carbon': { label: 'Carbon or aramid cloth may be used', usual: false },
  'target.core': { label: 'A core may lie in the middle', usual: false },
  'target.in_stock_only': { label: 'Only what you have left in the shop', usual: false, hint: 'as you wrote it under prices and stock' },
  'target.unbalanced': { label: 'Stacks that pull askew are welcome too', usual: false, hint: 'more plies at plus than at minus the same angle: a pull along the part then shears it' },
  'mix.pot_kind': { label: 'What you mix in', list: 'pot_kind', usual: 'cup' },
  'cure.mould_kind': { label: 'The mould is made of', list: 'mould_kind', usual: 'laminate' },
  'cure.post_on_mould': { label: 'The part stays on its mould in the oven', usual: false, hint: 'it may then soften and still keep its shape' },
  'service.colour': { label: 'In service the sun sees', list: 'colour', none: 'not stated', usual: '' },
  'service.facing': { label: 'The part lies', list: 'facing', usual: 'level' },
  'service.wind': { label: 'Around it', list: 'wind', usual: 'still' },
  'service.back': { label: 'Its back is', list: 'back', usual: 'insulated' },
  'service.wet': { label: 'It is wet for long in service', usual: false },
  'day.start': { label: 'The job begins', moment: true, usual: '', hint: 'day and time on the clock of the shop' },
  'day.closed': { label: 'Closed on', free: true, usual: '', hint: 'days and dates, like: Sat, Sun, 2026-12-25' },
  'day.out_by': { label: 'It must be off the mould by', moment: true, usual: '', hint: 'with this alone, the ticket says when to begin' },
});

/** Where these entries stand, as in entries.js. */
export const WORDS = [
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

/** What each way of loading needs to be told; what it does not need is put away and kept. */
const NEEDED = {
  pressure: ['held', 'length_mm', 'width_mm', 'pressure_kpa', 'heel_mm', 'limit_mm', 'reserve'],
  point: ['held', 'length_mm', 'width_mm', 'force_n', 'patch_mm', 'heel_mm', 'limit_mm', 'reserve'],
  strip_middle: ['length_mm', 'width_mm', 'force_n', 'limit_mm', 'reserve'],
  strip_end: ['length_mm', 'width_mm', 'force_n', 'limit_mm', 'reserve'],
  strip_even: ['length_mm', 'pressure_kpa', 'limit_mm', 'reserve'],
  edge: ['held', 'sides', 'length_mm', 'width_mm', 'edge_n_mm', 'reserve'],
};

/** What not every job asks for, folded away in its stage: the stage, the group, what the fold says, and what belongs in it. */
const FOLDS = [
  ['bag', 'rare', 'More you may know', /^bag\.(syringe|gauge_(step|class)|pump_down|catch_pot_l)/],
  ['dry', 'rare', 'More you may know', /^(dry\.(vacuum_lines|bleed|heat_up)|cure\.hottest)/],
  ['mix', 'formula', 'The formulation, if you know it', /^mix\.(eew|diluent|filler|ahew|second)/],
  ['mix', 'rare', 'More you may know', /^mix\.degas/],
  ['cure', 'warm', 'Warmth while it sets: lamp, blanket, oven', /^cure\.warm/],
  ['cure', 'film', 'When a thin layer is hard, by its own sheet', /^cure\.film/],
  ['cure', 'post', 'A post-cure', /^cure\.post/],
  ['cure', 'service', 'In service: sun and heat', /^service\./],
  ['day', 'times', 'How long your hands take', /^day\.(release|cut|lay|bag|test|demould|trim)/],
];

/** The group of entries that one belongs to, where it is not simply its stage. */
export function stageOf({ key, group, stage }) {
  if (group === 'load') return 'load';
  if (key === 'dry.tray_g') return 'dry-log';
  if (key.startsWith('mix.weighed_')) return 'mix-log';
  if (key === 'bag.feed_open_min') return stage;
  const fold = FOLDS.find(([, , , pattern]) => pattern.test(key));
  return fold ? `${fold[0]}-${fold[1]}` : null;
}

/** Puts what is folded behind the other entries of its stage; open where the plan has something in it. */
export function fold(stages, plan) {
  for (const [stage, name, title, pattern] of FOLDS) {
    const inside = stages.get(`${stage}-${name}`) ?? [];
    const used = name !== 'rare' && Object.keys(plan?.[stage] ?? {}).some((key) => pattern.test(`${stage}.${key}`));
    if (inside.length > 0) stages.set(stage, [...(stages.get(stage) ?? []), h('details', { class: 'fold', open: used }, h('summary', {}, title), h('div', { class: 'entries' }, ...inside))]);
  }
}

/** Whether the plan has no need of an entry: another way of loading, an oven that breathes, a pot of another kind. */
export function unneeded(path, plan) {
  const [group, name] = path.split('.');
  if (path === 'fill.feed') return (plan.fill?.lines ?? []).some(({ does }) => does === 'feed');
  if (path === 'dry.oven_l') return plan.dry?.closed !== true;
  if (path === 'mix.pot_length_mm') return plan.mix?.pot_kind !== 'tray';
  if (path === 'mix.bath_c') return plan.mix?.pot_kind !== 'bath';
  return group === 'load' && name !== 'case' && !(NEEDED[plan.load?.case] ?? []).includes(name);
}

/** What goes on while the sheet is drawn: the steps that have begun, at the foot. */
export const drawn = showClock;

/** What is more than one entry: the logs, prices and stock. */
export function shells(app, place, keep) {
  for (const [stage, path, label] of [['bag', 'bag.test', 'Readings of the gauge'], ['dry', 'dry.weighings', 'Weighings']]) {
    const el = h('div', { class: 'log' });
    const view = logView(app, el, path);
    place(`${stage}-log`, keep({ el, path, label, focus: () => el.querySelector('input').focus(), update: ({ problems }) => view.update(problems) }));
  }
  for (const path of ['day.start', 'day.out_by']) place('day', keep(momentEntry(app, { path, ...ASKS[path] })));
  place('day', keep(textEntry(app, { path: 'day.closed', ...ASKS['day.closed'] })));
  const stock = h('div', {});
  const shell = h('details', { class: 'stock' }, h('summary', {}, 'Prices and stock'), stock);
  shell.addEventListener('toggle', () => { if (shell.open) stockForm(app, stock); });
  place('suit', shell);
}
