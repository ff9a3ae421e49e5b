// A chart of the sheet: ranges as bands, curves, level lines and readings, in words and as a table too.
import { h, svg, write } from './dom.js';

/** Narrowest and widest drawing [px], and what is drawn where no width is known. */
const LEAST = 260;
const MOST = 700;
const USUAL = 330;
/** Width of a letter and height of a line of names. */
const LETTER = 7;
const LINE = 14;
const TOP = 24;
/** Length of the piece of line beside its name. */
const SAMPLE = 14;
const BELOW = 38;

const at = (number) => number.toFixed(1);
const INK = { fill: 'currentColor', stroke: 'none' };
/** How the curves that are not the likely one are broken, in turn. */
const BROKEN = ['7 4', '2 4', '11 4 2 4'];

const LEVEL = { class: 'level', 'stroke-dasharray': '1 4' };

/** Short round numbers from low to high, about as many as wanted. */
export function ticks(low, high, wanted) {
  const rough = (high - low || 1) / wanted;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((part) => part * power).find((size) => size >= rough * 0.999) ?? 10 * power;
  const out = [];
  for (let one = Math.ceil(low / step - 1e-9); one * step <= high + step * 1e-6; one += 1) out.push(Number((one * step).toPrecision(10)));
  return { step, out };
}

/** Numbers along an axis, all with the same decimals. */
function written(numbers, step) {
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return numbers.map((number) => number.toFixed(decimals).replace('-', '\u2212'));
}

/** What is drawn, and which level lines lie too far off to be. */
function reach({ bands, lines, marks, levels }) {
  // A mistyped reading must not squeeze the others flat: it stands at the edge then.
  const trusted = marks.filter(({ doubtful }) => !doubtful);
  const points = [...bands.flatMap(({ outline }) => outline), ...lines.flatMap(({ points: some }) => some), ...(trusted.length ? trusted : marks).map(({ at: one }) => one)];
  const span = (axis) => [Math.min(...points.map((one) => one[axis])), Math.max(...points.map((one) => one[axis]))];
  if (points.length === 0) points.push([0, 0], [1, 1]);
  let [left, right] = span(0);
  let [low, high] = span(1);
  const tall = Math.max(high - low, Math.abs(high) * 0.02, 1e-9);
  const near = levels.filter(({ up }) => up > low - 1.5 * tall && up < high + 1.5 * tall);
  low = Math.min(low, ...near.map(({ up }) => up));
  high = Math.max(high, ...near.map(({ up }) => up));
  if (left >= 0 && left < 0.5 * right) left = 0;
  if (right <= left) right = left + 1;
  if (low >= 0 && low < 0.55 * high) low = 0;
  if (high <= low) [low, high] = [low - 0.5, high + 0.5];
  return { left, right, low, high, near };
}

/** A name in lines of so many letters. */
function broken(text, letters) {
  const out = [''];
  for (const word of text.split(' ')) {
    const last = out.at(-1);
    if (last && last.length + word.length + 1 > letters) out.push(word);
    else out[out.length - 1] = last ? `${last} ${word}` : word;
  }
  return out;
}

/** Moves names apart, each as little as the others allow. */
function apart(names, above, floor) {
  const sorted = names.toSorted((one, other) => one.wanted - other.wanted);
  let ceiling = above;
  for (const name of sorted) {
    name.y = Math.max(name.wanted, ceiling + name.size / 2);
    ceiling = name.y + name.size / 2;
  }
  let limit = floor;
  for (const name of sorted.toReversed()) {
    name.y = Math.min(name.y, limit - name.size / 2);
    limit = name.y - name.size / 2;
  }
}

const crosses = (one, other) => one.x < other.x + other.w && other.x < one.x + one.w && one.y < other.y + other.h && other.y < one.y + one.h;

/** Where the word beside a mark disturbs least. */
function besideMark([x, y], text, frame, taken) {
  const w = text.length * LETTER + 2;
  const ways = [[9, -9, 'start'], [9, 17, 'start'], [-9, -9, 'end'], [-9, 17, 'end'], [0, -13, 'middle'], [0, 23, 'middle'], [9, 30, 'start'], [-9, -24, 'end']];
  const found = ways.map(([dx, dy, anchor]) => {
    const start = x + dx - (anchor === 'end' ? w : anchor === 'middle' ? w / 2 : 0);
    const box = { x: start, y: y + dy - 11, w, h: 14 };
    const out = box.x < frame.left + 2 || box.x + w > frame.right || box.y < frame.top || box.y + 14 > frame.floor - 1;
    return { box, anchor, at: [x + dx, y + dy], cost: (out ? 1000 : 0) + taken.filter((other) => crosses(box, other)).reduce((sum, { weight }) => sum + weight, 0) };
  });
  return found.reduce((best, one) => (one.cost < best.cost ? one : best));
}

/**
 * The drawing.
 * @param {any} chart As the sheet has it.
 * @param {number} [width] Its width [px].
 * @param {number} [lowest] Least height of what is drawn, without the words about it [px].
 */
export function chartOf(chart, width = USUAL, lowest = 0) {
  const wide = Math.round(Math.min(MOST, Math.max(LEAST, width)));
  const { left, right, low: least, high: most, near } = reach(chart);
  const upward = ticks(least, most, 5);
  const low = Math.floor(least / upward.step + 1e-6) * upward.step;
  const high = Math.ceil(most / upward.step - 1e-6) * upward.step;
  const heights = ticks(low, high, 5);
  const numbers = written(heights.out, heights.step);

  const margin = Math.min(230, Math.max(112, wide * 0.35));
  const frame = { left: Math.max(...numbers.map(({ length }) => length)) * 7 + 10, right: wide - margin, top: TOP, floor: 0 };
  const text = frame.right + SAMPLE + 12;
  const letters = Math.floor((wide - text) / LETTER);
  const others = chart.lines.filter(({ likely }) => !likely);
  const styleOf = (line) => (line.likely ? { class: 'likely-line' } : { class: 'other-line', 'stroke-dasharray': BROKEN[others.indexOf(line) % BROKEN.length] });
  const named = [
    ...chart.lines.map((line) => ({ name: line.name, from: line.points.at(-1), likely: line.likely, style: styleOf(line) })),
    ...near.map(({ name, up }) => ({ name, from: [right, up], style: LEVEL })),
  ].filter(({ name, from }) => name && from).map((one) => {
    const rows = broken(one.name, one.likely ? Math.floor(letters * 0.88) : letters);
    return { ...one, rows, size: rows.length * LINE + 5 };
  });
  const tall = Math.max(lowest || Math.max(170, Math.min(300, wide * 0.52)), named.reduce((sum, { size }) => sum + size, 0));
  frame.floor = TOP + tall;
  const x = (value) => frame.left + ((frame.right - frame.left) * (value - left)) / (right - left);
  const y = (value) => frame.floor - (tall * (value - low)) / (high - low);
  const path = (points) => `M${points.map(([across, up]) => `${at(x(across))} ${at(y(up))}`).join('L')}`;

  const along = ticks(left, right, Math.max(3, Math.floor((frame.right - frame.left) / 42)));
  const acrossNumbers = written(along.out, along.step);
  for (const one of named) one.wanted = y(one.from[1]);
  apart(named, TOP - 10, frame.floor + 8);

  // Words beside marks keep clear of curves, level lines and each other.
  const taken = [
    ...chart.lines.flatMap(({ points }) => points.flatMap((point, place) => {
      const before = points[Math.max(0, place - 1)];
      return [0.25, 0.5, 0.75, 1].map((share) => ({ x: x(before[0] + (point[0] - before[0]) * share) - 2, y: y(before[1] + (point[1] - before[1]) * share) - 2, w: 4, h: 4, weight: 1 }));
    })),
    ...near.map(({ up }) => ({ x: frame.left, y: y(up) - 1, w: frame.right - frame.left, h: 2, weight: 3 })),
    ...chart.marks.map(({ at: [across, up] }) => ({ x: x(across) - 5, y: y(up) - 5, w: 10, h: 10, weight: 8 })),
  ];
  const small = chart.marks.length > 24 ? 2.6 : 4;
  const marks = chart.marks.flatMap(({ name, at: point, doubtful }) => {
    const beyond = point[1] > high ? '\u2191' : point[1] < low ? '\u2193' : '';
    const [cx, cy] = [Math.min(Math.max(x(point[0]), frame.left), frame.right), Math.min(Math.max(y(point[1]), frame.top + 5), frame.floor - 5)];
    const drawn = doubtful
      ? [svg('circle', { class: 'mark-dot doubtful', fill: 'none', cx: at(cx), cy: at(cy), r: 5 }), svg('path', { class: 'mark-cross', d: `M${at(cx - 3)} ${at(cy - 3)}l6 6m0 -6l-6 6` })]
      : [svg('circle', { class: 'mark-dot', ...INK, cx: at(cx), cy: at(cy), r: small })];
    const word = [beyond && `${rounded.format(point[1])} ${beyond}`, name, doubtful && 'mistyped?'].filter(Boolean).join(' ');
    if (!word) return drawn;
    const place = besideMark([cx, cy], word, frame, taken);
    taken.push({ ...place.box, weight: 50 });
    return [...drawn, svg('text', { ...INK, class: 'beside on', x: at(place.at[0]), y: at(place.at[1]), 'text-anchor': place.anchor }, word)];
  });

  const lines = chart.lines.toSorted((one, next) => Number(one.likely) - Number(next.likely)).map((line) => svg('path', { ...styleOf(line), d: path(line.points) }));
  const unit = ({ label, unit: word }) => (word ? `${label}, ${word}` : label);
  return svg('svg', {
    class: 'chart-view', viewBox: `0 0 ${wide} ${at(frame.floor + BELOW)}`, role: 'img', 'aria-label': `${chart.label}. ${chart.sentence}`, focusable: 'false',
    fill: 'none', stroke: 'currentColor',
  },
  ...chart.bands.map(({ outline }) => svg('path', { class: 'reach-band', ...INK, 'fill-opacity': 0.2, d: `${path(outline)}Z` })),
  svg('path', { class: 'ring', 'stroke-opacity': 0.3, d: heights.out.slice(1).map((value) => `M${at(frame.left)} ${at(y(value))}H${at(frame.right)}`).join('') }),
  svg('path', { class: 'axis', d: `M${at(frame.left)} ${TOP}V${at(frame.floor)}H${at(frame.right)}${along.out.map((value) => `M${at(x(value))} ${at(frame.floor)}v4`).join('')}` }),
  ...numbers.map((number, place) => svg('text', { ...INK, class: 'beside small', x: at(frame.left - 6), y: at(y(heights.out[place]) + 4), 'text-anchor': 'end' }, number)),
  ...acrossNumbers.map((number, place) => svg('text', { ...INK, class: 'beside small', x: at(x(along.out[place])), y: at(frame.floor + 17), 'text-anchor': 'middle' }, number)),
  svg('text', { ...INK, class: 'beside small', x: 0, y: 11 }, unit(chart.up)),
  svg('text', { ...INK, class: 'beside small', x: at(frame.left), y: at(frame.floor + 34) }, unit(chart.across)),
  ...near.map(({ up }) => svg('path', { ...LEVEL, d: `M${at(frame.left)} ${at(y(up))}H${at(frame.right)}` })),
  ...lines, ...marks,
  ...named.flatMap(({ from, rows, y: middle, wanted, likely, style }) => [
    svg('path', { class: 'leader', 'stroke-opacity': 0.6, d: `M${at(Math.min(x(from[0]) + 2, frame.right + 1))} ${at(wanted)}L${at(frame.right + 7)} ${at(middle)}` }),
    svg('path', { ...style, d: `M${at(frame.right + 8)} ${at(middle)}h${SAMPLE}` }),
    svg('text', { ...INK, class: `beside${likely ? ' main' : ''}`, x: at(text), y: at(middle - ((rows.length - 1) * LINE) / 2 + 4) },
      ...rows.map((row, line) => svg('tspan', { x: at(text), dy: line ? LINE : 0 }, row))),
  ]));
}

const rounded = new Intl.NumberFormat('en-GB', { maximumSignificantDigits: 3, useGrouping: false });

/** What a drawing shows beyond the rows of its table: the level lines, drawn or too far off to be drawn. */
function besides(chart) {
  const { near } = reach(chart);
  return chart.levels.map((level) => `${level.name}: ${rounded.format(level.up).replace('-', '\u2212')}\u00a0${chart.up.unit}${near.includes(level) ? '' : ', beyond the drawing'}`);
}

/** The figures of a chart as a table; the label of each row comes first. */
export function gridOf({ label, table }) {
  return h('table', {}, h('caption', {}, label),
    // A column of remarks needs no name.
    h('thead', {}, h('tr', {}, ...table.heads.map((head) => (head ? h('th', { scope: 'col' }, head) : h('td', {}))))),
    h('tbody', {}, ...table.rows.map(([first, ...others]) => h('tr', {}, h('th', { scope: 'row' }, first), ...others.map((cell) => h('td', {}, cell))))));
}

/** How to read it, in one line. */
function howToRead({ bands, lines, marks }) {
  const shaded = bands.filter(({ name }) => name).map(({ name }) => name).join(', ');
  return [
    lines.some(({ likely }) => likely) && 'The solid line is the likely one.',
    shaded && `Shaded: ${shaded}.`,
    marks.some(({ doubtful }) => doubtful) && 'A hollow dot with a cross stands far off the others.',
  ].filter(Boolean).join(' ');
}

/** A chart that stays as it is: for paper and handouts. */
export function chartFigure(chart, width) {
  return h('figure', { class: 'chart-figure' }, h('figcaption', {}, h('b', {}, `${chart.label}. `), chart.sentence), chartOf(chart, width));
}

/** Keeps a chart up to date, as wide as there is room. */
export function chartView() {
  const title = h('h3', {});
  const words = h('p', {});
  const drawing = h('div', { class: 'chart-place' });
  const reading = h('p', { class: 'read-as' });
  const rows = h('div', { class: 'tables' });
  const beyond = h('p', { class: 'read-as' });
  const el = h('div', { class: 'chart', hidden: true }, title, words, drawing, reading,
    h('details', {}, h('summary', {}, 'As a table'), rows, beyond));
  let latest = null;
  let drawn = '';
  function draw() {
    const width = drawing.clientWidth || USUAL;
    const now = JSON.stringify([latest, width]);
    if (!latest || now === drawn) return;
    drawn = now;
    drawing.replaceChildren(chartOf(latest, width));
  }
  new ResizeObserver(draw).observe(drawing);
  return {
    el,
    /** @param {any} chart */
    update(chart) {
      el.hidden = !chart && !el.contains(document.activeElement);
      if (!chart) return;
      latest = chart;
      write(title, chart.label);
      write(words, chart.sentence);
      write(reading, howToRead(chart));
      rows.replaceChildren(gridOf(chart));
      write(beyond, besides(chart).join('; '));
      beyond.hidden = !beyond.textContent;
      draw();
    },
  };
}
