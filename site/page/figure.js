// One figure: its label, likely value, range and whisker; one tap opens where it comes from.
import { h, linkTo, settle, svg, write } from './dom.js';

/** What the line under a figure means. */
export const RESTS_ON = {
  firm: 'firm physics or your own measurement',
  published: 'published data',
  rule: 'a rule of thumb',
};
const ORIGINS = { plan: 'you typed it', measured: 'your own measurement', shelf: 'from the shelf', usual: 'usual value, nothing typed' };
const GRADES = {
  own: 'own measurement', read: 'read in this source', memory: 'recalled from this source, not checked again',
};
const WIDTH = 72;
/** Inputs shown before the rest is folded away. */
const FEW = 4;
let made = 0;

/** The figure and its unit as people write them together. */
export const withUnit = ({ likely, unit }) => `${likely}${/^[%°]?$/.test(unit) ? '' : '\u00a0'}${unit}`;

/** A whisker drawn to scale: the line of zero, low to high, and a dot at the likely value. */
export function whisker([low, likely, high]) {
  const at = (share) => (2 + share * (WIDTH - 4)).toFixed(1);
  return svg('svg', { class: 'whisker', viewBox: `0 0 ${WIDTH} 14`, width: WIDTH, height: 14, 'aria-hidden': 'true', focusable: 'false' },
    svg('line', { class: 'scale', x1: 2, x2: WIDTH - 2, y1: 7, y2: 7 }),
    svg('line', { class: 'scale', x1: 2, x2: 2, y1: 3, y2: 11 }),
    svg('line', { class: 'reach', x1: at(low), x2: at(high), y1: 7, y2: 7 }),
    svg('line', { class: 'reach', x1: at(low), x2: at(low), y1: 4, y2: 10 }),
    svg('line', { class: 'reach', x1: at(high), x2: at(high), y1: 4, y2: 10 }),
    svg('circle', { class: 'likely', cx: at(likely), cy: 7, r: 3 }));
}

/**
 * A figure that can be kept up to date.
 * @param {{ goToInput: (key: string) => void, entryLabel: (key: string) => string | null, hasEntry: (key: string) => boolean }} hooks
 * @returns {{ el: HTMLElement, update: (estimate: any, sheet: any) => void }}
 */
export function figure(hooks) {
  const id = `from-${made += 1}`;
  const label = h('span', { class: 'label' });
  const value = h('span', { class: 'value' });
  const unit = h('span', { class: 'unit' });
  const range = h('span', { class: 'range' });
  const drawn = h('span', { class: 'drawn' });
  const panel = h('div', { class: 'panel', id, hidden: true });
  const button = h('button', { type: 'button', class: 'figure', 'aria-expanded': 'false', 'aria-controls': id },
    label, h('span', { class: 'amount' }, value, unit), range, drawn);
  let latest = { estimate: /** @type {any} */ (null), sheet: /** @type {any} */ (null) };
  button.addEventListener('click', () => {
    panel.hidden = !panel.hidden;
    button.setAttribute('aria-expanded', String(!panel.hidden));
    if (!panel.hidden) fillPanel();
  });
  const fillPanel = () => panel.replaceChildren(...whereFrom(latest.estimate, latest.sheet, hooks));
  return {
    el: h('div', { class: 'figure-place' }, button, panel),
    update(estimate, sheet) {
      latest = { estimate, sheet };
      const { shown } = estimate;
      write(label, estimate.label);
      const before = value.textContent;
      if (write(value, shown.likely) && before) settle(value);
      write(unit, shown.unit && `${/^[%°]$/.test(shown.unit) ? '' : '\u00a0'}${shown.unit}`);
      write(range, shown.range);
      button.dataset.basis = estimate.basis;
      drawn.replaceChildren(...(shown.range ? [whisker(shown.whisker)] : []));
      if (!panel.hidden) fillPanel();
    },
  };
}

function whereFrom(estimate, sheet, hooks) {
  const parts = [h('p', { class: 'rests', 'data-basis': estimate.basis }, 'Rests on ', h('span', {}, RESTS_ON[estimate.basis] ?? estimate.basis), '.')];
  const meaning = h('p', { hidden: true });
  void import('./words.js').then(({ explain }) => { meaning.hidden = !write(meaning, explain(estimate.label) ?? ''); }, () => {});
  parts.push(meaning);
  if (estimate.law) parts.push(h('p', { class: 'law' }, estimate.law));
  const [first] = estimate.drivers;
  if (first) {
    const how = sheet.measure_first?.input === first.input ? ` ${sheet.measure_first.sentence}` : '';
    // Measuring is asked for only where there is an entry for the reading, or a way to do it is told.
    const lead = how || hooks.hasEntry(first.input) ? 'Measure this first: ' : 'What widens the range most: ';
    parts.push(h('p', {}, h('strong', {}, lead), toInput(first.input, first.label, hooks), ` (${percent(first.share)} of the range).${how}`));
  }
  const weight = (key) => estimate.drivers.find(({ input }) => input === key)?.share ?? 0;
  const inputs = estimate.inputs.map((key) => sheet.inputs.find((input) => input.key === key)).filter(Boolean)
    .sort((one, other) => weight(other.key) - weight(one.key));
  if (inputs.length) {
    const rows = inputs.map((input) => h('li', {},
      toInput(input.key, input.label, hooks), ' ',
      h('span', { class: 'given' }, withUnit(input.shown), input.shown.range && ` (${input.shown.range})`), ' ',
      h('span', { class: 'origin' }, ORIGINS[input.origin] ?? input.origin)));
    parts.push(h('h3', {}, 'What went in'), ...folded('inputs', rows, 'Everything that went in'));
  }
  const cite = (keys) => [...new Set(keys)].map((key) => sheet.sources.find((source) => source.key === key)).filter(Boolean).map((source) => h('li', {}, citation(source)));
  const own = cite(estimate.sources);
  const theirs = cite(inputs.flatMap((input) => input.sources).filter((key) => !estimate.sources.includes(key)));
  if (own.length || theirs.length) parts.push(h('h3', {}, 'Sources'));
  if (own.length) parts.push(h('ul', { class: 'sources' }, ...own));
  if (theirs.length) parts.push(h('details', {}, h('summary', {}, 'Sources of what went in'), h('ul', { class: 'sources' }, ...theirs)));
  return parts;
}

/** The first few rows, and the others behind a word. */
function folded(className, rows, word) {
  const first = h('ul', { class: className }, ...rows.slice(0, FEW));
  if (rows.length <= FEW + 1) return [h('ul', { class: className }, ...rows)];
  return [first, h('details', {}, h('summary', {}, word), h('ul', { class: className }, ...rows.slice(FEW)))];
}

function toInput(key, label, hooks) {
  if (hooks.entryLabel(key) === null) return label;
  return linkTo(key, label, hooks.goToInput);
}

const percent = (share) => new Intl.NumberFormat('en-GB', { style: 'percent', maximumFractionDigits: 0 }).format(share);

/** A source as one line: author (year), title, place; how far it may be trusted. */
export function citation({ author, year, title, place, grade }) {
  const named = [year ? `${author} (${year})` : author, title, place].filter(Boolean).join(', ');
  // Practice and our own judgement say so in the author's place already.
  return grade === 'practice' || grade === 'judgement' ? `${named}.` : `${named}; ${GRADES[grade] ?? grade}.`;
}
