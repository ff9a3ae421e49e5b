// The fill in words and figures: whether it will, what it comes to, and the best ways to feed the part.
import { spread, table } from './damp.js';
import { h } from './dom.js';

const REACHES = { will: '\u2713 Full before it gels', may_not: '? It may gel before it is full', will_not: '\u2717 It gels before it is full' };

/** Whether resin gets everywhere, by a mark and in words. @param {string} reach */
export const reachWords = (reach) => REACHES[reach] ?? '';

/** A minute of the fill as text: to the minute, and finer where it is over soon. */
export function minuteText(core, units, min) {
  if (min >= 180) return `${Math.floor(Math.round(min) / 60)}\u00a0h ${Math.round(min) % 60}\u00a0min`;
  return `${core.show_entry('log.min', min < 10 ? Math.round(min * 10) / 10 : Math.round(min), units)}\u00a0min`;
}

/** The best ways to feed, each with a button. */
export const layoutList = ({ sentence, best }, use) => [h('p', { class: 'told' }, sentence), h('ul', { class: 'stacks' }, ...best.map((one, n) => h('li', { class: 'found' },
  h('h3', {}, h('span', { class: 'letter' }, String.fromCharCode(65 + n)), ' ', one.title),
  h('p', {}, spread(one.time_text, one.time_range), `, ${one.tube_text} of feed line${one.flow_mesh ? ', with a flow mesh on the whole part' : ''}`),
  h('p', {}, reachWords(one.reach)), h('p', {}, one.why),
  h('p', { class: 'buttons' }, h('button', { type: 'button', 'aria-label': `Use these lines: ${one.title}`, on: { click: () => use(one) } }, 'Use these lines')))))];

/** Everything in words and figures. */
export const wordsOf = (drawn, lengths) => [
  h('dl', {}, ...[drawn.time, drawn.gel, drawn.area, ...drawn.facts].map(({ label, text, range }) => h('div', { class: 'cell' }, h('dt', {}, label), h('dd', {}, spread(text, range))))),
  drawn.last && h('p', {}, `${drawn.last.sentence} It is at ${lengths.place(drawn.last.at.slice(0, 2).map((mm) => (lengths.us ? mm : Math.round(mm))))}.`),
  table(drawn.table.caption, drawn.table.head, drawn.table.rows, 'by-then'),
].filter(Boolean);
