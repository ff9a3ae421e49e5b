// The tables of a stage: the build-up of the plies, where resin is lost, the pots, what to do when the front stops, the grits.
import { h } from './dom.js';
import { withUnit } from './figure.js';

const table = (caption, heads, rows, className = '') => h('table', { class: className || null }, h('caption', {}, caption),
  h('thead', {}, h('tr', {}, ...heads.map((head) => h('th', { scope: 'col' }, head)))),
  h('tbody', {}, ...rows.map(([first, ...others]) => h('tr', {}, h('th', { scope: 'row' }, first), ...others.map((cell) => h('td', {}, cell))))));

const amount = ({ shown }) => h('span', {}, withUnit(shown), shown.range && h('span', { class: 'range' }, ` ${shown.range}`));

const TEMPERS = {
  calm: 'Left standing, such a pot stays near room temperature.',
  warm: 'Left standing, such a pot gets too warm to hold.',
  dangerous: 'Left standing, such a pot can run away: smoke, burns, fire.',
};

/** Neighbouring plies of the same material and angle, as one line each. */
function bands(plies) {
  const out = [];
  for (const ply of plies) {
    const last = out.at(-1);
    if (last && last.name === ply.name && last.angle_deg === ply.angle_deg) Object.assign(last, { to: ply.ply, top: ply.top, top_range: ply.top_range });
    else out.push({ ...ply, from: ply.ply, to: ply.ply });
  }
  return out;
}

const tables = {
  stack: ({ plies }) => (plies?.length ? [table('Build-up from the mould', ['Ply', 'Cloth', 'Angle', 'Height'],
    bands(plies).map((band) => [
      band.from === band.to ? `${band.from}` : `${band.from} to ${band.to}`, band.name, `${band.angle_deg}°`,
      h('span', {}, band.top, band.top_range && h('span', { class: 'range' }, ` ${band.top_range}`)),
    ]), 'numbered')] : []),
  mix: ({ pots, losses, pot_temper: temper }, { pots: deeper }) => [
    // Where the pots are worked out with their times, that says what becomes of them.
    !deeper && pots?.length > 0 && table('Pots', ['Pot', 'Resin', 'Hardener', 'Together', 'Use within'],
      pots.map((pot, at) => [`${at + 1}`, ...['resin_g', 'hardener_g', 'total_g', 'use_within_min'].map((name) => withUnit(pot[name].shown))]), 'numbered'),
    !deeper && TEMPERS[temper] && h('p', {}, TEMPERS[temper]),
    losses?.length > 0 && table('Resin that does not stay in the part', ['Where', 'How much'], losses.map(({ name, grams }) => [name, amount(grams)])),
  ],
  fill: ({ stalled }) => [stalled?.length > 0 && h('details', {}, h('summary', {}, 'If the front stops'), h('ul', { class: 'told-list' }, ...stalled.map((sentence) => h('li', {}, sentence))))],
  trim: ({ grits }) => (grits?.length ? [table('Grits, first to last', ['Grit', 'Mean grain'], grits.map(({ name, micrometre }) => [name, `${micrometre}\u00a0µm`]))] : []),
};

/** @returns {Node[]} */
export function tablesOf(stage, found, sheet) {
  return (tables[stage]?.(found, sheet) ?? []).filter(Boolean);
}
