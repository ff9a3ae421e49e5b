// Where a figure comes from: what it rests on, the law, what went in, what to measure first, the sources.
import { h, linkTo } from './dom.js';
import { from, withUnit } from './figure.js';
import { explain } from './words.js';

/** What the line under a figure means. */
export const RESTS_ON = {
  firm: 'firm physics or your own measurement',
  published: 'published data',
  rule: 'a rule of thumb',
};
const ORIGINS = { plan: 'you typed it', measured: 'your own measurement', shelf: 'from the shelf', usual: 'usual value, nothing typed' };
const GRADES = {
  own: 'own measurement', read: 'read in this source', quoted: 'seen where it is quoted, not in this source', memory: 'recalled from this source, not checked again',
};
/** Inputs shown before the rest is folded away. */
const FEW = 4;

from.where = whereFrom;

/** @returns {Node[]} */
function whereFrom(estimate, sheet, hooks) {
  const parts = [h('p', { class: 'rests', 'data-basis': estimate.basis }, 'Rests on ', h('span', {}, RESTS_ON[estimate.basis] ?? estimate.basis), '.')];
  const meaning = explain(estimate.label);
  if (meaning) parts.push(h('p', {}, meaning));
  if (estimate.law) parts.push(h('p', { class: 'law' }, estimate.law));
  const [first] = estimate.drivers;
  if (first) {
    const { key, label } = sheet.inputs[first.input];
    const how = sheet.measure_first?.input === key ? ` ${sheet.measure_first.sentence}` : '';
    // Measuring is asked for only where there is an entry for the reading, or a way to do it is told.
    const lead = how || hooks.hasEntry(key) ? 'Measure this first: ' : 'What widens the range most: ';
    parts.push(h('p', {}, h('strong', {}, lead), toInput(key, label, hooks), ` (${percent(first.share)} of the range).${how}`));
  }
  const weight = (place) => estimate.drivers.find(({ input }) => input === place)?.share ?? 0;
  const inputs = [...estimate.inputs].sort((one, other) => weight(other) - weight(one)).map((place) => sheet.inputs[place]);
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
