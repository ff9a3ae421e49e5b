// Which entries are folded away or not needed, and those that are more than one entry: logs, moments, prices and stock.
import { ASKS } from './asks.js';
import { h } from './dom.js';
import { textEntry } from './entry.js';
import { logView } from './log.js';
import { momentEntry } from './moment.js';
import { stockForm } from './stock.js';

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
