// The stack in section, heights to scale: mould below, each ply drawn by what it is made of and how it lies.
import { h, svg } from './dom.js';

const WIDE = 320;
const LEFT = 36;
const RIGHT = 150;
const TEXT = 166;
/** Letters that fit beside the drawing, and the height of a line of them. */
const LETTERS = 23;
const LINE = 15;

/** How heavily the strokes of a family are drawn. */
const STROKES = { bast: 1.1, glass: 0.6, carbon: 2, aramid: 0.9, core: 1.1 };

/** Neighbouring plies of the same material and angle, as one band each. */
export function bands(plies) {
  const out = [];
  let below = 0;
  for (const ply of plies) {
    const last = out.at(-1);
    if (last && last.name === ply.name && last.angle_deg === ply.angle_deg) Object.assign(last, { to: ply.ply, top: ply.top, top_range: ply.top_range, high: ply.top_mm.likely });
    else out.push({ ...ply, from: ply.ply, to: ply.ply, low: below, high: ply.top_mm.likely });
    below = ply.top_mm.likely;
  }
  return out;
}

/** Numbers between 0 and 1, the same every time for the same seed. */
function draws(seed) {
  let state = (seed * 7919 + 17) % 2147483647;
  return () => { state = (state * 48271) % 2147483647; return state / 2147483647; };
}

/** Words are filled, not stroked, even where no style has come. */
const INK = { fill: 'currentColor', stroke: 'none' };

const at = (number) => number.toFixed(1);
const LAYING = (angle) => Math.abs(Math.cos((angle * Math.PI) / 180));

/** Lines that run with the cut for fibre along the part, shorten as it turns, and are dots across it. */
function lines(top, tall, angle) {
  const share = LAYING(angle);
  const rows = Math.max(1, Math.round(tall / 4));
  const dash = share < 0.05 ? 0.01 : 2 + 30 * share ** 3;
  const gap = share > 0.98 ? 3 : 4.5;
  let path = '';
  for (let row = 0; row < rows; row += 1) {
    const y = top + (tall * (row + 0.5)) / rows;
    for (let x = LEFT + 2 + (row % 2) * (dash + gap) * 0.5; x < RIGHT - 1; x += dash + gap) path += `M${at(x)} ${at(y)}H${at(Math.min(x + dash, RIGHT - 1))}`;
  }
  return path;
}

/** A yarn that goes over and under the yarns seen from their ends; a twill goes over two. */
function woven(top, tall, angle, over) {
  const middle = top + tall / 2;
  const high = Math.min(tall * 0.28, 8);
  // Turned by 45 degrees, the cut meets the yarns aslant: they look longer.
  const turned = LAYING(angle * 2) < 0.5 ? 1.4 : 1;
  const one = Math.min(Math.max(tall * 0.6, 4), 13) * turned;
  const step = one * over + one * 0.4;
  let path = `M${LEFT} ${at(middle)}`;
  let side = 1;
  for (let x = LEFT; x < RIGHT; x += step, side = -side) {
    const to = Math.min(x + step, RIGHT);
    path += `Q${at((x + to) / 2)} ${at(middle - side * high * 2)} ${at(to)} ${at(middle)}`;
  }
  side = 1;
  for (let x = LEFT; x < RIGHT; x += step, side = -side) {
    for (let count = 0; count < over; count += 1) {
      const [half, flat] = [one * 0.36, high * 0.42];
      const centre = x + one * (count + 0.7);
      if (centre + half < RIGHT) path += `M${at(centre - half)} ${at(middle + side * high * 0.35)}a${at(half)} ${at(flat)} 0 1 0 ${at(half * 2)} 0a${at(half)} ${at(flat)} 0 1 0 ${at(-half * 2)} 0`;
    }
  }
  return path;
}

/** Two layers that lean to either side. */
function leaning(top, tall) {
  const half = tall / 2;
  const step = Math.min(Math.max(half, 3.5), 8);
  let path = '';
  for (let x = LEFT + 2; x + step < RIGHT; x += step) {
    path += `M${at(x)} ${at(top + half - 0.5)}L${at(x + step * 0.7)} ${at(top + 1)}M${at(x)} ${at(top + half + 0.5)}L${at(x + step * 0.7)} ${at(top + tall - 1)}`;
  }
  return path;
}

/** Short strokes every which way. */
function strewn(top, tall, next) {
  let path = '';
  const count = Math.min(90, Math.max(14, Math.round(tall * 4)));
  for (let one = 0; one < count; one += 1) {
    const turn = next() * Math.PI;
    const reach = 2 + 4 * next();
    const x = LEFT + 5 + next() * (RIGHT - LEFT - 10);
    const y = top + 1 + next() * Math.max(tall - 2, 0);
    const rise = Math.min(Math.abs(Math.sin(turn) * reach), y - top, top + tall - y) * Math.sign(Math.cos(turn * 3));
    path += `M${at(x - Math.cos(turn) * reach)} ${at(y - rise)}L${at(x + Math.cos(turn) * reach)} ${at(y + rise)}`;
  }
  return path;
}

/** Open ground with a few grains. */
function grains(top, tall, next) {
  let path = '';
  const count = Math.min(140, Math.round(((RIGHT - LEFT) * tall) / 55));
  for (let one = 0; one < count; one += 1) path += `M${at(LEFT + 2 + next() * (RIGHT - LEFT - 4))} ${at(top + 1.5 + next() * Math.max(tall - 3, 0))}h.01`;
  return path;
}

function pattern({ architecture, angle_deg: angle, ply }, top, tall) {
  const next = draws(ply);
  if (architecture === 'core') return grains(top, tall, next);
  if (architecture === 'mat') return strewn(top, tall, next);
  if (architecture === 'biaxial') return leaning(top, tall);
  if (architecture === 'unidirectional') return lines(top, tall, angle);
  return woven(top, tall, angle, architecture === 'twill' ? 2 : 1);
}

/** A text in lines that fit beside the drawing. */
function broken(text) {
  const out = [''];
  for (const word of text.split(' ')) {
    const last = out.at(-1);
    if (last && last.length + word.length + 1 > LETTERS) out.push(word);
    else out[out.length - 1] = last ? `${last} ${word}` : word;
  }
  return out;
}

/** A band in words: how many, of what, at which angle. */
function told({ from, to, name, architecture, angle_deg: angle }) {
  const count = to - from + 1;
  if (architecture === 'core') return count > 1 ? `${count} times ${name}` : name;
  const turned = architecture === 'mat' ? '' : ` at ${String(angle).replace('-', '\u2212')}°`;
  return `${count > 1 ? `${count} plies` : '1 ply'} of ${name}${turned}`;
}

/** The drawing as one sentence. */
export function sectionSentence(plies) {
  const parts = bands(plies).map((band) => `${told(band)}, up to ${band.top}`);
  return `The stack in section, from the mould up: ${parts.join('; ')}.`;
}

/**
 * The drawing.
 * @param {any[]} plies As the sheet has them, from the mould up.
 * @returns {Element | null}
 */
export function sectionOf(plies) {
  const groups = bands(plies);
  const full = plies.at(-1)?.top_mm.likely;
  if (!(full > 0)) return null;
  const labels = groups.map((band) => broken(told(band)));
  const asked = labels.reduce((sum, rows) => sum + rows.length * LINE + 7, 0);
  const tall = Math.min(280, Math.max(130, groups.length * 40, plies.length * 22));
  const high = Math.max(tall, asked);
  const above = 8 + (high - tall) / 2;
  const floor = above + tall;
  const y = (height) => floor - (tall * height) / full;

  let below = 0;
  const drawn = plies.flatMap((ply) => {
    const [top, bottom] = [y(ply.top_mm.likely), y(below)];
    below = ply.top_mm.likely;
    const core = ply.architecture === 'core';
    return [
      svg('rect', { class: `band ${ply.family}`, x: LEFT, width: RIGHT - LEFT, y: at(top), height: at(bottom - top) }),
      svg('path', { class: `strokes${core ? ' grains' : ''}${ply.family === 'aramid' ? ' aramid' : ''}`, d: pattern(ply, top, bottom - top), 'stroke-width': Math.min(ply.architecture === 'mat' ? 0.7 : STROKES[ply.family] ?? 1, Math.max(0.5, (bottom - top) / 4)) }),
    ];
  });
  const edges = groups.slice(0, -1).map(({ high: top }) => svg('line', { class: 'edge', x1: LEFT, x2: RIGHT, y1: at(y(top)), y2: at(y(top)) }));

  // Each label beside its band, moved only as far as the others need.
  const wanted = groups.map(({ low, high: top }, place) => ({ place, middle: y((low + top) / 2), size: labels[place].length * LINE + 7 }));
  let limit = 8 + high;
  for (const one of wanted) {
    one.y = Math.min(one.middle, limit - one.size / 2);
    limit = one.y - one.size / 2;
  }
  let ceiling = 8;
  for (const one of wanted.toReversed()) {
    one.y = Math.max(one.y, ceiling + one.size / 2);
    ceiling = one.y + one.size / 2;
  }
  const words = wanted.flatMap(({ place, middle, y: centre }) => [
    svg('path', { class: 'leader', d: `M${RIGHT + 1} ${at(middle)}L${TEXT - 4} ${at(centre)}` }),
    svg('text', { ...INK, class: 'beside', x: TEXT, y: at(centre - ((labels[place].length - 1) * LINE) / 2 + 4) },
      ...labels[place].map((row, line) => svg('tspan', { x: TEXT, dy: line ? LINE : 0 }, row))),
  ]);

  let ground = '';
  for (let x = LEFT - 2; x < RIGHT; x += 7) ground += `M${x + 6} ${at(floor + 3)}l-5 7`;
  return svg('svg', { class: 'section-view', viewBox: `0 0 ${WIDE} ${at(Math.max(8 + high, floor + 24) + 4)}`, role: 'img', 'aria-label': sectionSentence(plies), focusable: 'false', fill: 'none', stroke: 'currentColor' },
    ...drawn, ...edges,
    svg('path', { class: 'height', d: `M${LEFT - 6} ${at(above)}V${at(floor)}M${LEFT - 9} ${at(above)}h6M${LEFT - 9} ${at(floor)}h6` }),
    svg('text', { ...INK, class: 'beside small', x: LEFT - 10, y: at(above + 4), 'text-anchor': 'end' }, plies.at(-1).top.split(/\s/)[0]),
    svg('text', { ...INK, class: 'beside small', x: LEFT - 10, y: at(floor + 4), 'text-anchor': 'end' }, '0'),
    svg('line', { class: 'mould', x1: LEFT - 4, x2: RIGHT + 4, y1: at(floor + 2), y2: at(floor + 2) }),
    svg('path', { class: 'ground', d: ground }),
    svg('text', { ...INK, class: 'beside small', x: LEFT, y: at(floor + 22) }, 'mould'),
    ...words);
}

/** The drawing with the line that tells how to read it. */
export function sectionFigure(plies) {
  const drawing = sectionOf(plies);
  return drawing && h('figure', { class: 'section-figure' }, drawing,
    h('figcaption', {}, `In section, ${plies.at(-1).top} in all. Heights are to scale, strokes show how the fibres lie: lines run with the cut, dots come towards you.`));
}
