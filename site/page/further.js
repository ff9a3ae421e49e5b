// What only the whole core asks: the entries of suit, load, working back and the logs, and where they stand.
import { ASKS } from './asks.js';
import { h } from './dom.js';
import { logView } from './log.js';
import { stockForm } from './stock.js';

Object.assign(ASKS, {
  'dry.closed': { label: 'The oven is shut tight', usual: false, hint: 'the water that leaves the cloth stays in its air' },
  'part.matters': { label: 'What counts most', list: 'matters', usual: 'nothing' },
  'suit.equal': { label: 'Compare at', list: 'equal', usual: 'stiffness' },
  'load.case': { label: 'How it is loaded', list: 'load_case', none: 'nothing stated', usual: '' },
  'load.held': { label: 'How the panel is held', list: 'held', usual: 'resting' },
  'target.glass': { label: 'Glass cloth may be used', usual: true },
  'target.carbon': { label: 'Carbon or aramid cloth may be used', usual: false },
  'target.core': { label: 'A core may lie in the middle', usual: false },
  'target.in_stock_only': { label: 'Only what you have left in the shop', usual: false, hint: 'as you wrote it under prices and stock' },
  'target.unbalanced': { label: 'Stacks that pull askew are welcome too', usual: false, hint: 'more plies at plus than at minus the same angle: a pull along the part then shears it' },
});

/** Where these entries stand, as in entries.js. */
export const WORDS = [
  { first: 'suit', path: 'part.matters' },
  { first: 'suit', path: 'suit.equal' },
  { first: 'load', path: 'load.case' },
  { first: 'load', path: 'load.held' },
  { after: 'target.heaviest_g_m2', path: 'target.glass' },
  { after: 'target.heaviest_g_m2', path: 'target.carbon' },
  { after: 'target.heaviest_g_m2', path: 'target.core' },
  { after: 'target.heaviest_g_m2', path: 'target.in_stock_only' },
  { after: 'target.heaviest_g_m2', path: 'target.unbalanced' },
  { after: 'dry.oven_c', path: 'dry.closed' },
];

/** What each way of loading needs to be told; what it does not need is put away and kept. */
const NEEDED = {
  pressure: ['held', 'length_mm', 'width_mm', 'pressure_kpa', 'limit_mm', 'reserve'],
  point: ['held', 'length_mm', 'width_mm', 'force_n', 'patch_mm', 'limit_mm', 'reserve'],
  strip_middle: ['length_mm', 'width_mm', 'force_n', 'limit_mm', 'reserve'],
  strip_end: ['length_mm', 'width_mm', 'force_n', 'limit_mm', 'reserve'],
  strip_even: ['length_mm', 'pressure_kpa', 'limit_mm', 'reserve'],
  edge: ['edge_n_mm', 'reserve'],
};

/** What is seldom known, and folded away in its stage. */
const RARE = /^(bag\.(syringe|gauge_|pump_down|catch_pot_l)|dry\.(vacuum_lines|bleed|heat_up)|cure\.hottest)/;

/** The group of entries that one belongs to, where it is not simply its stage. */
export function stageOf({ key, group, stage }) {
  if (group === 'load') return 'load';
  if (key === 'dry.tray_g') return 'dry-log';
  return RARE.test(key) ? `${stage}-rare` : null;
}

/** Whether the plan has no need of an entry: another way of loading, an oven that breathes. */
export function unneeded(path, plan) {
  const [group, name] = path.split('.');
  if (path === 'dry.oven_l') return plan.dry?.closed !== true;
  return group === 'load' && name !== 'case' && !(NEEDED[plan.load?.case] ?? []).includes(name);
}

/** What is more than one entry: the logs, prices and stock. */
export function shells(app, place, keep) {
  for (const [stage, path, label] of [['bag', 'bag.test', 'Readings of the gauge'], ['dry', 'dry.weighings', 'Weighings']]) {
    const el = h('div', { class: 'log' });
    const view = logView(app, el, path);
    place(`${stage}-log`, keep({ el, path, label, focus: () => el.querySelector('input').focus(), update: ({ problems }) => view.update(problems) }));
  }
  const stock = h('div', {});
  const shell = h('details', { class: 'stock' }, h('summary', {}, 'Prices and stock'), stock);
  shell.addEventListener('toggle', () => { if (shell.open) stockForm(app, stock); });
  place('suit', shell);
}
