// Lines, zones and corners as rows of numbers: for keyboards, for exact places, and for those who do not see the picture.
import { h, write } from './dom.js';
import { numberOf } from './shapes.js';

const rounded = (value) => String(Math.round(value * 10) / 10);

/** One place, x and y and, on a shell, z, in millimetres. */
function place(corner, name, onChange) {
  return h('span', { class: 'place' }, ...corner.map((value, axis) => {
    const input = h('input', { type: 'text', inputmode: 'decimal', autocomplete: 'off', value: rounded(value), 'aria-label': `${name}, ${['x', 'y', 'z'][axis]} in millimetres` });
    input.addEventListener('change', () => {
      const typed = numberOf(input.value);
      input.setAttribute('aria-invalid', String(typed === null));
      if (typed !== null) onChange(corner.map((old, other) => (other === axis ? typed : old)));
    });
    return input;
  }));
}

/** What a zone holds, in words. */
export const ZONES = { mesh: 'Flow mesh', plies: 'Extra plies', insert: 'Insert, takes no resin', break: 'No mesh here' };

/**
 * The rows.
 * @param {{ lines: () => any[], zones: () => any[], setLines: (lines: any[]) => void, setZones: (zones: any[]) => void, choose: (n: number) => void, corners: () => any[] | null, setCorners: (corners: any[]) => void }} hooks
 */
export function rows(hooks) {
  const lines = h('ol', { class: 'rows' });
  const zones = h('ol', { class: 'rows' });
  const corners = h('ol', { class: 'rows' });
  const cornerFold = h('details', {}, h('summary', {}, 'Corners of the outline'), corners);
  const zoneHead = h('h3', {}, 'Zones');
  const el = h('div', {}, h('h3', {}, 'Lines'), lines, zoneHead, zones, cornerFold);
  let shown = '';

  const without = (list, n) => list.filter((_, other) => other !== n);
  const changed = (list, n, part) => list.map((one, other) => (other === n ? { ...one, ...part } : one));

  function lineRow(line, n) {
    const name = `${line.does === 'feed' ? 'Feed' : 'Vent'} ${n + 1}`;
    const corner = (point, k) => place(point, `${name}, point ${k + 1}`, (to) => hooks.setLines(changed(hooks.lines(), n, { points_mm: line.points_mm.map((old, other) => (other === k ? to : old)) })));
    const many = line.points_mm.length > 4;
    const box = h('input', { type: 'checkbox' });
    const feed = line.does === 'feed';
    box.checked = feed ? line.opens === 'when_wet' : line.closed !== false;
    box.addEventListener('change', () => {
      const { opens, closed, ...rest } = line;
      const part = feed ? (box.checked ? { opens: 'when_wet' } : {}) : (box.checked ? {} : { closed: false });
      hooks.setLines(hooks.lines().map((one, other) => (other === n ? { ...rest, ...part } : one)));
    });
    return h('li', { on: { focusin: () => hooks.choose(n) } }, h('strong', {}, name), ' ',
      many ? h('span', { class: 'faded' }, `follows ${line.points_mm.length} corners`) : h('span', {}, ...line.points_mm.map(corner)),
      h('label', { class: 'tick' }, box, feed ? ' opens when resin has come to all of it' : ' is clamped once it is wet'),
      h('button', { type: 'button', class: 'quiet', 'aria-label': `Take away ${name}`, on: { click: () => hooks.setLines(without(hooks.lines(), n)) } }, 'Take away'));
  }

  function zoneRow(zone, n) {
    const name = `${ZONES[zone.lies] ?? zone.lies} ${n + 1}`;
    const plies = zone.lies === 'plies' && [['count', 'plies', 1], ['angle_deg', 'at degrees', 0]].map(([key, words, usual]) => {
      const input = h('input', { type: 'text', inputmode: 'decimal', value: String(zone[key] ?? usual), 'aria-label': `${name}, ${words}` });
      input.addEventListener('change', () => {
        const typed = numberOf(input.value);
        if (typed !== null) hooks.setZones(changed(hooks.zones(), n, { [key]: typed }));
      });
      return h('label', { class: 'tick' }, input, ` ${words}`);
    });
    const corner = (point, k) => place(point, `${name}, corner ${k + 1}`, (to) => hooks.setZones(changed(hooks.zones(), n, { points_mm: zone.points_mm.map((old, other) => (other === k ? to : old)) })));
    return h('li', {}, h('strong', {}, name), ' ', ...zone.points_mm.slice(0, 8).map(corner), ...(plies || []),
      h('button', { type: 'button', class: 'quiet', 'aria-label': `Take away ${name}`, on: { click: () => hooks.setZones(without(hooks.zones(), n)) } }, 'Take away'));
  }

  function update() {
    const outline = hooks.corners();
    const now = JSON.stringify([hooks.lines(), hooks.zones(), outline]);
    if (now === shown) return;
    const inside = el.contains(document.activeElement) ? [...el.querySelectorAll('input, button')].indexOf(/** @type {any} */ (document.activeElement)) : -1;
    shown = now;
    lines.replaceChildren(...hooks.lines().map(lineRow));
    zones.replaceChildren(...hooks.zones().map(zoneRow));
    zoneHead.hidden = hooks.zones().length === 0;
    cornerFold.hidden = !outline;
    corners.replaceChildren(...(outline ?? []).map((point, k) => h('li', {}, place(point, `Corner ${k + 1}`, (to) => hooks.setCorners(outline.map((old, other) => (other === k ? to : old)))),
      outline.length > 3 && h('button', { type: 'button', class: 'quiet', 'aria-label': `Take away corner ${k + 1}`, on: { click: () => hooks.setCorners(without(outline, k)) } }, 'Take away'))));
    // The focus stays where it was.
    if (inside >= 0) /** @type {any} */ ([...el.querySelectorAll('input, button')][inside])?.focus();
  }
  return { el, update, say: (text) => write(lines, text) };
}
