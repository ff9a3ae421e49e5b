// Lines and zones without a pointer: along an edge by its name, across the middle, a point, a rectangle in the middle.
import { h } from './dom.js';

/** Edges that get a button each. */
const MOST_EDGES = 8;
/** An edge within this share of the middle is neither left nor right, neither upper nor lower. */
const MIDDLE = 0.12;

const middleOf = (corners) => [0, 1].map((axis) => corners.reduce((sum, corner) => sum + corner[axis], 0) / corners.length);

/** The smallest and largest x and y. */
export function boundsOf(corners) {
  const bounds = { low: [Infinity, Infinity], high: [-Infinity, -Infinity] };
  for (const corner of corners) {
    for (const axis of [0, 1]) {
      bounds.low[axis] = Math.min(bounds.low[axis], corner[axis]);
      bounds.high[axis] = Math.max(bounds.high[axis], corner[axis]);
    }
  }
  return bounds;
}

/** What each edge is called: where it lies as the picture shows it. @param {number[][][]} sides */
export function edgeNames(sides) {
  const { low, high } = boundsOf(sides.flat());
  const names = sides.map((side) => {
    const share = middleOf(side).map((value, axis) => (value - low[axis]) / (high[axis] - low[axis] || 1) - 0.5);
    const up = share[1] > MIDDLE ? 'upper' : share[1] < -MIDDLE ? 'lower' : '';
    const across = share[0] > MIDDLE ? 'right' : share[0] < -MIDDLE ? 'left' : '';
    return [up, across].filter(Boolean).join(' ') || 'inner';
  });
  return names.map((name, n) => {
    const same = names.filter((other) => other === name).length;
    return `Along the ${name} edge${same > 1 ? ` ${names.slice(0, n + 1).filter((other) => other === name).length}` : ''}`;
  });
}

const point = (corner) => corner.slice(0, 3).map((value) => Math.round(value * 10) / 10);

/**
 * The buttons for a tool.
 * @param {string} tool
 * @param {{ sides: number[][][], points: Float32Array, flat: boolean }} part
 * @param {{ lineDrawn: (does: string, points: number[][]) => void, zoneDrawn: (lies: string, points: number[][]) => void }} hooks
 */
export function placeButtons(tool, { sides, points, flat }, { lineDrawn, zoneDrawn }) {
  const button = (words, go) => h('button', { type: 'button', on: { click: go } }, words);
  const corners = flat && sides.length > 0 ? sides.flat() : Array.from({ length: points.length / 3 }, (_, i) => [...points.slice(3 * i, 3 * i + 3)]);
  const { low, high } = boundsOf(corners);
  const [cx, cy] = [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2];
  /** On a shell, the point of it that lies nearest over a place. */
  const on = ([x, y]) => (flat ? [x, y] : corners.reduce((best, corner) => (Math.hypot(corner[0] - x, corner[1] - y) < Math.hypot(best[0] - x, best[1] - y) ? corner : best)));
  const across = (from, to) => Array.from({ length: flat ? 2 : 25 }, (_, k, n = flat ? 1 : 24) => point(on([from[0] + ((to[0] - from[0]) * k) / n, from[1] + ((to[1] - from[1]) * k) / n])));
  if (['feed', 'vent', 'channel'].includes(tool)) {
    const names = edgeNames(sides);
    return [
      ...(sides.length <= MOST_EDGES ? sides.map((side, n) => button(names[n], () => lineDrawn(tool, side.map(point)))) : []),
      button('Lengthways through the middle', () => lineDrawn(tool, across([low[0], cy], [high[0], cy]))),
      button('Crossways through the middle', () => lineDrawn(tool, across([cx, low[1]], [cx, high[1]]))),
      ...(tool === 'channel' ? [] : [button('One point in the middle', () => lineDrawn(tool, [point(on([cx, cy]))]))]),
    ];
  }
  const [w, t] = [(high[0] - low[0]) / 6, (high[1] - low[1]) / 6];
  return [button('Lay it in the middle', () => zoneDrawn(tool, [[cx - w, cy - t], [cx + w, cy - t], [cx + w, cy + t], [cx - w, cy + t]].map(point)))];
}
