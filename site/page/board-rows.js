// Lines, zones and corners as rows of numbers: for keyboards, for exact places, and for those who do not see the picture.
import { h, write } from './dom.js';
import { numberOf } from './board-length.js';
import { channelEntries, zoneStack } from './board-stack.js';

const isPoint = (point) => Array.isArray(point) && point.length > 1 && point.every(Number.isFinite);
const arePoints = (points) => Array.isArray(points) && points.length > 0 && points.every(isPoint);

/** Lines of a plan, those that can be drawn. */
export const linesOf = (plan) => (Array.isArray(plan.fill?.lines) ? plan.fill.lines.filter((line) => arePoints(line?.points_mm)) : []);
/** Channels among them: they are of the part, and no suggestion takes them away. */
export const channelsOf = (plan) => linesOf(plan).filter(({ does }) => does === 'channel');
/** Zones of a plan likewise. */
export const zonesOf = (plan) => (Array.isArray(plan.fill?.zones) ? plan.fill.zones.filter((zone) => arePoints(zone?.points_mm)) : []);
/** Corners of an outline; null for other shapes. */
export const cornersOf = ({ part }) => (part?.shape?.form === 'outline' && arePoints(part.shape.points_mm) ? part.shape.points_mm : null);

/** One place: x and y and, on a shell, z. */
function placeIn(lengths, corner, name, onChange) {
  const told = h('span', { class: 'problem', role: 'status' });
  return h('span', { class: 'point' }, ...corner.map((value, axis) => {
    const input = h('input', { type: 'text', inputmode: 'decimal', autocomplete: 'off', value: lengths.show(value), 'aria-label': `${name}, ${['x', 'y', 'z'][axis]} in ${lengths.name}` });
    input.addEventListener('change', () => {
      const typed = lengths.read(input.value);
      if (typed === null) input.setAttribute('aria-invalid', 'true');
      else input.removeAttribute('aria-invalid');
      write(told, typed === null ? lengths.ask(250) : '');
      if (typed !== null) onChange(corner.map((old, other) => (other === axis ? typed : old)));
    });
    return h('span', { class: 'coordinate' }, ['x', 'y', 'z'][axis], ' ', input);
  }), told);
}

/** Half way between two corners. */
const between = (a, b) => a.map((value, axis) => Math.round((value + b[axis]) / 2));

/** What each line is called: each kind is counted apart, as the core counts them. */
export function namesOf(lines) {
  const count = { feed: 0, vent: 0, channel: 0 };
  return lines.map(({ does }) => {
    const kind = Object.hasOwn(count, does) ? does : 'vent';
    count[kind] += 1;
    return `${{ feed: 'Feed', vent: 'Vent', channel: 'Channel' }[kind]} ${count[kind]}`;
  });
}

/** What each zone is called: each kind is counted apart. */
export function zoneNames(zones) {
  const count = {};
  return zones.map(({ lies }) => {
    count[lies] = (count[lies] ?? 0) + 1;
    return `${SHORT[lies] ?? lies} ${count[lies]}`;
  });
}
const SHORT = { mesh: 'Flow mesh', plies: 'Extra plies', stack: 'Other cloth', insert: 'Insert', break: 'No mesh' };

/** What a zone holds, in words. */
export const ZONES = { mesh: 'Flow mesh', plies: 'Extra plies', stack: 'Other cloth or a core', insert: 'Insert, takes no resin', break: 'No mesh here' };

/**
 * The rows.
 * @param {{ lengths: any, lines: () => any[], zones: () => any[], setLines: (lines: any[], said?: string, again?: (now: any[]) => any[]) => void, setZones: (zones: any[], said?: string, again?: (now: any[]) => any[]) => void, choose: (n: number) => void, home: HTMLElement, corners: () => any[] | null, setCorners: (corners: any[]) => void, shelf: () => any }} hooks
 */
export function rows(hooks) {
  const place = (corner, name, onChange) => placeIn(hooks.lengths, corner, name, onChange);
  const lines = h('ol', { class: 'board-rows' });
  const zones = h('ol', { class: 'board-rows' });
  const corners = h('ol', { class: 'board-rows' });
  const cornerFold = h('details', {}, h('summary', {}, 'Corners of the outline'), corners);
  const zoneHead = h('h3', {}, 'Zones');
  const none = h('p', { class: 'read-as' }, 'No feed is laid yet: the edge with the least x feeds the part.');
  const el = h('div', {}, h('h3', {}, 'Lines'), none, lines, zoneHead, zones, cornerFold);
  let shown = '';

  const without = (list, n) => list.filter((_, other) => other !== n);
  const changed = (list, n, part) => list.map((one, other) => (other === n ? { ...one, ...part } : one));

  function lineRow(line, n) {
    const name = namesOf(hooks.lines())[n];
    const corner = (point, k) => place(point, `${name}, point ${k + 1}`, (to) => hooks.setLines(changed(hooks.lines(), n, { points_mm: line.points_mm.map((old, other) => (other === k ? to : old)) })));
    const many = line.points_mm.length > 4;
    const feed = line.does === 'feed';
    const does = feed ? 'opens when resin has come to all of it' : 'is clamped once it is wet';
    const box = h('input', { type: 'checkbox', 'aria-label': `${name} ${does}` });
    box.checked = feed ? line.opens === 'when_wet' : line.closed !== false;
    box.addEventListener('change', () => {
      const { opens, closed, ...rest } = line;
      const part = feed ? (box.checked ? { opens: 'when_wet' } : {}) : (box.checked ? {} : { closed: false });
      hooks.setLines(hooks.lines().map((one, other) => (other === n ? { ...rest, ...part } : one)));
    });
    return h('li', { on: { focusin: () => hooks.choose(n) } }, h('strong', {}, name), ' ',
      many ? h('span', { class: 'faded' }, `follows ${line.points_mm.length} corners`) : h('span', {}, ...line.points_mm.map(corner)),
      line.does === 'channel' ? channelEntries(name, line, hooks.lengths, (to) => hooks.setLines(hooks.lines().map((one, other) => (other === n ? to : one)))) : h('label', { class: 'with-box' }, box, ` ${does}`),
      h('button', { type: 'button', class: 'quiet', 'aria-label': `Take away ${name}`, on: { click: () => hooks.setLines(without(hooks.lines(), n), `${name} is taken away.`, (now) => now.toSpliced(n, 0, line)) } }, 'Take away'));
  }

  function zoneRow(zone, n) {
    const name = zoneNames(hooks.zones())[n];
    const plies = zone.lies === 'plies' && [['count', 'plies', 1], ['angle_deg', 'at degrees', 0]].map(([key, words, usual]) => {
      const input = h('input', { type: 'text', inputmode: 'decimal', value: String(zone[key] ?? usual), 'aria-label': `${name}, ${words}` });
      input.addEventListener('change', () => {
        const typed = numberOf(input.value);
        if (typed !== null) hooks.setZones(changed(hooks.zones(), n, { [key]: typed }));
      });
      return h('label', { class: 'with-box' }, input, ` ${words}`);
    });
    const corner = (point, k) => place(point, `${name}, corner ${k + 1}`, (to) => hooks.setZones(changed(hooks.zones(), n, { points_mm: zone.points_mm.map((old, other) => (other === k ? to : old)) })));
    return h('li', {}, h('strong', {}, name), zone.lies === 'insert' && h('span', { class: 'faded' }, ' takes no resin'), ' ', ...zone.points_mm.slice(0, 8).map(corner), ...(plies || []),
      zone.lies === 'stack' && zoneStack(name, Array.isArray(zone.stack) ? zone.stack : [], hooks.shelf(), (stack) => hooks.setZones(changed(hooks.zones(), n, { stack }))),
      h('button', { type: 'button', class: 'quiet', 'aria-label': `Take away ${name}`, on: { click: () => hooks.setZones(without(hooks.zones(), n), `${name} is taken away.`, (now) => now.toSpliced(n, 0, zone)) } }, 'Take away'));
  }

  function update() {
    const outline = hooks.corners();
    const now = JSON.stringify([hooks.lines(), hooks.zones(), outline]);
    if (now === shown) return;
    const inside = el.contains(document.activeElement) ? [...el.querySelectorAll('input, select, button')].indexOf(/** @type {any} */ (document.activeElement)) : -1;
    const list = /** @type {any} */ (document.activeElement)?.closest('.board-rows');
    const before = list?.children.length ?? 0;
    const row = before ? [...list.children].indexOf(document.activeElement?.closest('li')) : -1;
    shown = now;
    lines.replaceChildren(...hooks.lines().map(lineRow));
    zones.replaceChildren(...hooks.zones().map(zoneRow));
    none.hidden = hooks.lines().some(({ does }) => does === 'feed');
    zoneHead.hidden = hooks.zones().length === 0;
    cornerFold.hidden = !outline;
    corners.replaceChildren(...(outline ?? []).map((point, k) => h('li', {}, place(point, `Corner ${k + 1}`, (to) => hooks.setCorners(outline.map((old, other) => (other === k ? to : old)))),
      h('button', { type: 'button', class: 'quiet', 'aria-label': `Add a corner after corner ${k + 1}`, on: { click: () => hooks.setCorners(outline.toSpliced(k + 1, 0, between(point, outline[(k + 1) % outline.length]))) } }, 'Add one after'),
      outline.length > 3 && h('button', { type: 'button', class: 'quiet', 'aria-label': `Take away corner ${k + 1}`, on: { click: () => hooks.setCorners(without(outline, k)) } }, 'Take away'))));
    // The focus stays where it was; where its row is gone, on the next one, and after the last of them on what came before.
    if (inside < 0) return;
    if (list && list.children.length < before) (list.children[Math.min(row, list.children.length - 1)]?.querySelector('button:last-child') ?? hooks.home).focus();
    else /** @type {any} */ ([...el.querySelectorAll('input, select, button')][inside])?.focus();
  }
  return { el, update };
}
