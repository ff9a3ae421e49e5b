// Bag and cloth in depth: what the drop test says, the gauges, the drying curve, oven and bag side by side, waits and findings.
import { chartView } from './chart.js';
import { h, write } from './dom.js';
import { figure, withUnit } from './figure.js';
import { doubt } from './log.js';
import { citation } from './wherefrom.js';

/** A table whose first column names the rows. */
export const table = (caption, heads, rows, className) => h('table', { class: className }, h('caption', {}, caption),
  h('thead', {}, h('tr', {}, ...heads.map((head) => h('th', { scope: 'col' }, head)))),
  h('tbody', {}, ...rows.map(([first, ...others]) => h('tr', {}, h('th', { scope: 'row' }, first), ...others.map((cell) => h('td', {}, cell))))));

/** A figure and its range. */
export const spread = (text, range) => h('span', {}, text, range && h('span', { class: 'range' }, ` ${range}`));

/** How well each explanation fits, in words. */
export const sharesIn = ({ shares }) => (shares.length ? `By the fit alone: ${shares.map(({ name, text }) => `${name} ${text}`).join(', ')}.` : '');

/** Whether the test passes, in words; where it means more, its meaning says so. */
export function passesIn({ passes }, sheet) {
  const limit = sheet.inputs.find(({ key }) => key === 'bag.leak_limit_mbar_min');
  const most = limit ? `your limit of ${withUnit(limit.shown)}` : 'your limit';
  if (passes === null) return `Whether it keeps within ${most} is still open.`;
  return passes ? `It keeps within ${most}: it passes.` : `It is beyond ${most}: it does not pass.`;
}

/** The bag's pressure as other gauges have it. */
export const gaugeTable = ({ gauges }) => table('The same pressure on other gauges', ['Gauge', 'Shows'], gauges.map(({ name, text, range }) => [name, spread(text, range)]), 'gauges');

/** What the readings tell, without the chart: nodes for the page and for a handout, their headings of this level. */
export function toldOf(test, sheet, heading = 'h4') {
  const list = (tag, title, sentences) => (sentences.length ? [h(heading, { class: 'sub' }, title), h(tag, { class: 'told-list' }, ...sentences.map((sentence) => h('li', {}, sentence)))] : []);
  const shares = sharesIn(test);
  return [
    h('p', { class: 'told' }, test.sentence), shares && h('p', {}, shares), test.means.length === 0 && h('p', {}, passesIn(test, sheet)),
    ...list('ul', 'What it means', test.means), ...list('ol', 'What to do next', test.next),
  ].filter(Boolean);
}

/** Fills in the bag. */
export function bagIn(places, hooks) {
  const told = h('div', { class: 'told-place' });
  const chart = chartView();
  const gauges = h('div', { class: 'tables' });
  const other = h('details', {}, h('summary', {}, 'The same pressure on other gauges'), gauges);
  places.section.append(told, chart.el, other);
  let drawn = '';
  return {
    update(bag, sheet) {
      const test = bag?.test ?? null;
      const strange = (test?.chart.marks ?? []).filter(({ doubtful }) => doubtful).map(({ at: [minute] }) => minute);
      const readings = hooks.plan()?.bag?.test;
      doubt('bag.test', Array.isArray(readings) ? readings.flatMap(({ min }, at) => (strange.some((minute) => Math.abs(minute - min) < 1e-6) ? [at] : [])) : []);
      const now = JSON.stringify([test, bag?.gauges]);
      if (now === drawn) return;
      drawn = now;
      told.replaceChildren(...(test ? [h('h3', {}, 'What the readings tell'), ...toldOf(test, sheet)] : []));
      chart.update(test?.chart ?? null);
      gauges.replaceChildren(...(bag?.gauges.length ? [gaugeTable(bag)] : []));
      other.hidden = !gauges.firstChild;
    },
  };
}

/** One way to dry, with its figures. */
function wayRow(way) {
  const cell = (label, found, text) => h('div', { class: 'cell' }, h('dt', {}, label),
    h('dd', {}, h('span', { class: 'amounts' }, h('span', { class: 'text' }, found?.text ?? text), found?.range && h('span', { class: 'range' }, ` ${found.range}`))));
  return h('li', { class: `material${way.this ? ' this' : ''}` },
    h('h4', {}, way.name, way.this && h('span', { class: 'as-planned' }, ', as your plan says')),
    h('dl', {}, cell('Dry enough after', way.time, 'never'), cell(`Holds, ${way.after}`, way.reaches)),
    h('p', {}, way.held_back));
}

export const waitTable = ({ waits }) => table('How long dried cloth may wait', ['How it lies', 'Until too wet'], waits.map(({ name, time }) => [name, spread(time.text, time.range)]));

/** The weighings one by one. */
export function weighedTable({ lines }) {
  return table('Your weighings', ['Minute', 'Scale', 'Water', 'Expected'], lines.map(({ minute, mass, regain, expected, doubtful }) => [
    doubtful ? h('span', {}, minute, h('span', { class: 'doubt' }, ' mistyped?')) : minute, mass, regain, expected]), 'weighings');
}

/** Fills in the drying of the cloth. */
export function dryIn(places, hooks) {
  const sentence = h('p', { class: 'told' });
  const figures = ['now_pct', 'left_min', 'dry_mass_g'].map((name) => ({ name, made: figure(hooks) }));
  const lines = h('div', {});
  const all = h('details', {}, h('summary', {}, 'Each weighing'), lines);
  const weighed = h('div', { hidden: true }, sentence, h('div', { class: 'figures' }, ...figures.map(({ made }) => made.el)), all);
  const [curve, isotherm] = [chartView(), chartView()];
  const ways = h('ul', { class: 'materials ways' });
  const side = h('div', {}, h('h3', {}, 'Oven and bag side by side'), ways);
  const waits = h('div', { class: 'tables' });
  const findings = h('ul', { class: 'ratios' });
  const published = h('details', {}, h('summary', {}, 'What damp does to flax laminates, as published'), findings);
  const humid = h('details', {}, h('summary', {}, 'How damp the air makes it'), isotherm.el);
  places.section.append(weighed, curve.el);
  places.polar.append(side, waits, humid, published);
  let drawn = '';
  return {
    update(dry, sheet) {
      const found = dry?.weighed ?? null;
      weighed.hidden = !found && !weighed.contains(document.activeElement);
      doubt('dry.weighings', (found?.lines ?? []).flatMap(({ doubtful }, at) => (doubtful ? [at] : [])));
      if (found) {
        write(sentence, found.sentence);
        for (const { name, made } of figures) made.update(found[name], sheet);
      }
      curve.update(dry?.curve ?? null);
      isotherm.update(dry?.isotherm ?? null);
      humid.hidden = isotherm.el.hidden;
      const now = JSON.stringify([found?.lines, dry?.ways, dry?.waits, dry?.published]);
      if (now === drawn) return;
      drawn = now;
      lines.replaceChildren(...(found?.lines.length ? [weighedTable(found)] : []));
      ways.replaceChildren(...(dry?.ways ?? []).map(wayRow));
      side.hidden = !ways.firstChild;
      waits.replaceChildren(...(dry?.waits.length ? [waitTable(dry)] : []));
      findings.replaceChildren(...(dry?.published ?? []).map(({ says, source }) => {
        const from = sheet.sources.find(({ key }) => key === source);
        return h('li', {}, h('p', {}, says), from && h('p', { class: 'read-as' }, citation(from)));
      }));
      published.hidden = !findings.firstChild;
    },
  };
}
