// Stiffness by direction as a plot round a centre, in words and as a table; the stiffness matrices beside it.
import { h, svg } from './dom.js';

const SIZE = 320;
const MIDDLE = SIZE / 2;
const REACH = 112;

const at = (number) => number.toFixed(1);

/** Steps of a scale: about three to the largest value, each a short number. */
export function rings(largest, wanted = 3) {
  const rough = largest / wanted;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10].map((part) => part * power).find((size) => size >= rough * 0.999) ?? 10 * power;
  const out = [];
  for (let one = 1; out.length < wanted; one += 1) out.push(Number((one * step).toPrecision(6)));
  return out;
}

/**
 * @param {any} polar As the sheet has it: half a turn, the rest repeats.
 */
export function polarPlot(polar) {
  const turn = [...polar.directions, ...polar.directions.map((one) => ({ ...one, angle_deg: one.angle_deg + 180 }))];
  const scale = rings(Math.max(...turn.map(({ high }) => high)));
  const far = scale.at(-1);
  const point = (angle, value) => {
    const turned = (angle * Math.PI) / 180;
    const radius = (REACH * value) / far;
    return `${at(MIDDLE + radius * Math.cos(turned))} ${at(MIDDLE - radius * Math.sin(turned))}`;
  };
  const round = (value) => `M${turn.map((one) => point(one.angle_deg, value(one))).join('L')}Z`;
  const named = [
    [0, 'along', 'start', 6, 4], [90, 'across', 'middle', 0, -8], [45, '+45°', 'start', 4, -2], [135, '\u221245°', 'end', -4, -2],
  ].map(([angle, name, anchor, dx, dy]) => {
    const [x, y] = point(angle, far).split(' ').map(Number);
    return svg('text', { class: 'beside', x: x + dx, y: y + dy, 'text-anchor': anchor }, name);
  });
  return svg('svg', { class: 'polar-view', viewBox: `0 0 ${SIZE} ${SIZE - 44}`, role: 'img', 'aria-label': `${polar.label}. ${polar.sentence}`, focusable: 'false' },
    svg('g', { transform: 'translate(0 -24)' },
      ...scale.map((value) => svg('circle', { class: 'ring', cx: MIDDLE, cy: MIDDLE, r: at((REACH * value) / far) })),
      svg('path', { class: 'ring', d: [0, 45, 90, 135].map((angle) => `M${point(angle, far)}L${point(angle + 180, far)}`).join('') }),
      svg('path', { class: 'reach-band', d: round(({ high }) => high) + round(({ low }) => low), 'fill-rule': 'evenodd' }),
      svg('path', { class: 'likely-line', d: round(({ likely }) => likely) }),
      ...scale.map((value, place) => svg('text', { class: 'beside small on', x: MIDDLE + 3, y: at(MIDDLE + (REACH * value) / far - 4) }, `${value}${place === scale.length - 1 ? ` ${polar.unit}` : ''}`)),
      ...named));
}

const table = (caption, heads, rows) => h('table', {}, h('caption', {}, caption),
  h('thead', {}, h('tr', {}, ...heads.map((head) => h('th', { scope: 'col' }, head)))),
  h('tbody', {}, ...rows.map(([first, ...others]) => h('tr', {}, h('th', { scope: 'row' }, first), ...others.map((cell) => h('td', {}, cell))))));

const WAYS = { 0: 'along', 45: 'plus 45°', 90: 'across', 135: 'minus 45°' };
const way = (angle) => (WAYS[angle] ? `${angle}°, ${WAYS[angle]}` : `${angle}°`);

/** Keeps the plot up to date. */
export function polarView() {
  const drawing = h('div', {});
  const words = h('p', {});
  const title = h('h3', {});
  const rows = h('div', { class: 'tables' });
  const el = h('div', { class: 'polar', hidden: true }, title, words, drawing,
    h('p', { class: 'read-as' }, 'The line is the likely value, the band its range: the further out, the stiffer. The length of the part lies level.'),
    h('details', {}, h('summary', {}, 'Every direction as a table'), rows));
  return {
    el,
    update(polar) {
      el.hidden = !polar && !el.contains(document.activeElement);
      if (!polar) return;
      title.textContent = polar.label;
      words.textContent = polar.sentence;
      drawing.replaceChildren(polarPlot(polar));
      rows.replaceChildren(table(polar.label, ['Direction', 'Stiffness'], polar.directions.map(({ angle_deg: angle, text, range }) => [
        way(angle), h('span', {}, text, range && h('span', { class: 'range' }, ` ${range}`))])));
    },
  };
}

const short = new Intl.NumberFormat('en-GB', { maximumSignificantDigits: 3, useGrouping: false });

/** A matrix of three by three with its unit; what is nothing beside the others is written 0. */
function matrix(name, unit, numbers, nothing) {
  const axes = ['along', 'across', 'shear'];
  return h('table', { class: 'matrix' }, h('caption', {}, `${name} (${unit})`),
    h('thead', {}, h('tr', {}, h('td', {}), ...axes.map((axis) => h('th', { scope: 'col' }, axis)))),
    h('tbody', {}, ...numbers.map((row, line) => h('tr', {}, h('th', { scope: 'row' }, axes[line]),
      ...row.map((value) => h('td', {}, Math.abs(value) < nothing ? '0' : short.format(value).replace('-', '\u2212')))))));
}

/** Keeps the stiffness matrices up to date. */
export function matricesView() {
  const body = h('div', { class: 'tables' });
  const el = h('details', { class: 'matrices', hidden: true }, h('summary', {}, 'Stiffness matrices'), body);
  return {
    el,
    update(found) {
      el.hidden = !found && !el.contains(document.activeElement);
      if (!found) return;
      const { a_n_mm: a, b_n: b, d_n_mm: d } = found;
      const [stretch, bend] = [a, d].map((numbers) => Math.max(...numbers.flat().map(Math.abs)));
      body.replaceChildren(
        h('p', {}, 'Classical laminate theory, every input at its likely value, heights counted from the middle of the thickness.'),
        matrix('A, stretch', 'N/mm', a, stretch * 1e-9),
        matrix('B, stretch with bending', 'N', b, Math.sqrt(stretch * bend) * 1e-9),
        matrix('D, bending', 'N\u00b7mm', d, bend * 1e-9));
    },
  };
}
