// The picture of a fill on a canvas: tints of the ink by when resin comes, lines of equal time, feeds, vents and words.
import { isHidden, rasterOf, tinted } from './board-raster.js';
import { namesOf } from './board-rows.js';

/** Space around the part, in CSS pixels. */
const AROUND = 30;
/** How steeply a shell is seen from above. */
const TILT = 0.9;
/** Names of what lies in a zone. */
const NAMES = { mesh: 'mesh', plies: 'extra plies', stack: 'other cloth', insert: 'insert', break: 'no mesh' };

/** The colours of the page as it stands. */
const inks = () => {
  const style = getComputedStyle(document.documentElement);
  return Object.fromEntries(['paper', 'ink', 'flax', 'line', 'hair'].map((name) => [name, style.getPropertyValue(`--${name}`).trim()]));
};

/**
 * A canvas and what is drawn on it.
 * @param {HTMLCanvasElement} canvas
 * @param {{ colours?: () => Record<string, string>, dots?: number, margin?: number, lengths?: any }} [options] Other colours and another density than the screen's; how lengths are told.
 */
export function picture(canvas, { colours: coloursNow = inks, dots: density, margin = AROUND, lengths } = {}) {
  const state = {
    /** @type {any} */ found: null, /** @type {any} */ drawn: null, wide: 320, high: 240, scale: 1, yaw: 0.6, flat: true,
    from: [0, 0], low: [0, 0], /** @type {any} */ raster: null,
    /** When the last place is wet, or the resin gels before [min]. */ end: 1, /** @type {number[][]} */ edges: [], /** @type {number[][]} */ feeds: [],
  };

  /** Where a point of the part stands on the canvas, in CSS pixels. */
  const seen = ([x, y, z = 0]) => {
    const [u, v] = state.flat ? [x, y] : [x * Math.cos(state.yaw) - y * Math.sin(state.yaw), (x * Math.sin(state.yaw) + y * Math.cos(state.yaw)) * Math.sin(TILT) + z * Math.cos(TILT)];
    return [state.from[0] + (u - state.low[0]) * state.scale, state.from[1] - (v - state.low[1]) * state.scale];
  };
  /** How near a point is to who looks at a shell. */
  const near = ([x, y, z = 0]) => z * Math.sin(TILT) - (x * Math.sin(state.yaw) + y * Math.cos(state.yaw)) * Math.cos(TILT);
  /** The point of a flat part under a place of the canvas. */
  const under = ([px, py]) => [(px - state.from[0]) / state.scale + state.low[0], (state.from[1] - py) / state.scale + state.low[1]];

  /** Fits what is to be seen, corners as x and y in millimetres. */
  function fit(corners, flat, wide) {
    Object.assign(state, { flat, wide: Math.max(240, wide), scale: 1, low: [0, 0], from: [0, 0] });
    let [lowU, highU, lowV, highV] = [Infinity, -Infinity, Infinity, -Infinity];
    for (const corner of corners) {
      const [u, v] = seen(corner);
      [lowU, highU, lowV, highV] = [Math.min(lowU, u), Math.max(highU, u), Math.min(lowV, -v), Math.max(highV, -v)];
    }
    const [broad, tall] = [Math.max(highU - lowU, 1), Math.max(highV - lowV, 1)];
    state.scale = Math.min((state.wide - 2 * margin) / broad, (state.wide * 1.1 - 2 * margin) / tall);
    state.high = Math.round(tall * state.scale + 2 * margin);
    state.low = [lowU, lowV];
    state.from = [(state.wide - broad * state.scale) / 2, state.high - margin];
    const dots = density ?? Math.min(devicePixelRatio || 1, 3);
    canvas.width = Math.round(state.wide * dots);
    canvas.height = Math.round(state.high * dots);
    canvas.dataset.scale = String(state.scale);
  }

  const stroke = (context, flatLine, close = false) => {
    context.beginPath();
    for (let i = 0; i < flatLine.length; i += 3) {
      const [u, v] = seen([flatLine[i], flatLine[i + 1], flatLine[i + 2]]);
      if (i === 0) context.moveTo(u, v);
      else context.lineTo(u, v);
    }
    if (close) context.closePath();
    context.stroke();
  };

  /** The edge of the part; on a shell thin where it is hidden. */
  function rim(context, edge, colours) {
    if (state.flat || !state.raster) { stroke(context, edge); return; }
    for (let i = 0; i + 5 < edge.length; i += 3) {
      const piece = edge.slice(i, i + 6);
      const middle = [0, 1, 2].map((axis) => (piece[axis] + piece[axis + 3]) / 2);
      const behind = isHidden(state.raster, seen(middle), near(middle) * state.scale);
      context.strokeStyle = behind ? colours.line : colours.ink;
      context.lineWidth = behind ? 0.8 : 2;
      stroke(context, piece);
    }
  }

  const ring = (context, [u, v], radius, fill) => {
    context.beginPath();
    context.arc(u, v, radius, 0, 7);
    if (fill) { context.fillStyle = fill; context.fill(); }
    context.stroke();
  };

  /** Where words stand already, as left, top, right and bottom. @type {number[][]} */
  let taken = [];
  /** Words that wait until all lines are there, so that none runs through them. @type {(() => void)[]} */
  let words = [];

  /** A word at the first of these places that is clear of those before it; on none, only where it must be. */
  function word(context, text, places, colours, must = true) {
    context.font = '600 13px system-ui, sans-serif';
    context.textAlign = 'center';
    context.textBaseline = 'middle';
    const half = context.measureText(text).width / 2 + 3;
    // A word stays on the picture.
    const spots = places.map(([u, v]) => [Math.min(Math.max(u, half), state.wide - half), Math.min(Math.max(v, 9), state.high - 9)]);
    const isClear = ([x, y]) => !taken.some(([left, top, right, bottom]) => x + half > left && x - half < right && y + 8 > top && y - 8 < bottom);
    const spot = spots.find(isClear) ?? (must ? spots[0] : null);
    if (!spot) return;
    const [x, y] = spot;
    taken.push([x - half, y - 8, x + half, y + 8]);
    words.push(() => {
      context.lineWidth = 3.5;
      context.strokeStyle = colours.paper;
      context.strokeText(text, x, y);
      context.fillStyle = colours.ink;
      context.fillText(text, x, y);
    });
  }

  function write() {
    for (const one of words) one();
    words = [];
  }

  /** Above, below and beside a place. */
  const around = ([u, v], away = 15) => [[u, v - away], [u, v + away], [u + 3 * away, v], [u - 3 * away, v], [u + 2 * away, v - away], [u - 2 * away, v + away]];

  /** Where the middle of a line stands. */
  const middleOf = (corners) => {
    const k = Math.floor(corners.length / 2);
    const [a, b] = [corners[Math.max(0, k - 1)], corners[k]].map(seen);
    return corners.length === 2 ? [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2] : seen(corners[k]);
  };

  /** Feeds solid and thick, vents double and thin, channels dotted; what opens later is broken. */
  function lines(context, list, colours, chosen) {
    const names = namesOf(list);
    list.forEach(({ does, opens, points_mm: corners }, n) => {
      const flatLine = corners.flatMap(([x, y, z = 0]) => [x, y, z]);
      const feed = does === 'feed';
      context.lineCap = opens === 'when_wet' ? 'butt' : 'round';
      context.setLineDash(opens === 'when_wet' ? [12, 5] : does === 'channel' ? [0.1, 8] : []);
      context.strokeStyle = feed ? colours.flax : colours.ink;
      context.lineWidth = corners.length === 1 ? 2 : feed ? 7 : does === 'channel' ? 5 : 6;
      if (corners.length === 1) ring(context, seen(corners[0]), 7, feed ? colours.flax : colours.paper);
      else {
        stroke(context, flatLine);
        if (!feed && does !== 'channel') {
          context.strokeStyle = colours.paper;
          context.lineWidth = 3;
          stroke(context, flatLine);
        }
      }
      context.setLineDash([]);
      const [u, v] = middleOf(corners);
      word(context, names[n], around([u, v]), colours);
      if (n !== chosen) return;
      context.lineWidth = 2.5;
      context.strokeStyle = colours.ink;
      if (corners.length <= 4) for (const corner of corners) ring(context, seen(corner), 9, colours.paper);
      if (corners.length !== 1) ring(context, [u, v], 6, colours.ink);
    });
  }

  /** The feed that is taken where none is laid. */
  function usual(context, colours) {
    for (const feed of state.feeds) {
      if (feed.length < 6) continue;
      context.strokeStyle = colours.flax;
      context.lineWidth = 4;
      stroke(context, feed);
      word(context, 'feed, taken as usual', around(seen(feed.slice(0, 3)).map((value, axis) => (value + seen(feed.slice(-3))[axis]) / 2)), colours, false);
    }
  }

  function zones(context, list, colours) {
    for (const { lies, points_mm: corners } of list) {
      context.setLineDash([6, 4]);
      context.lineWidth = 1.6;
      context.strokeStyle = colours.ink;
      stroke(context, corners.flatMap(([x, y]) => [x, y, 0]), true);
      context.setLineDash([]);
      const middle = seen(corners.reduce(([sx, sy], [x, y]) => [sx + x / corners.length, sy + y / corners.length], [0, 0]));
      word(context, NAMES[lies] ?? lies, [middle, ...around(middle)], colours);
    }
  }

  /** The minutes along their lines, where there is room. */
  function minutes(context, levels, colours) {
    for (const { text, strokes } of levels) {
      const longest = strokes.reduce((best, one) => (one.length > best.length ? one : best), []);
      const at = (share) => Math.min(Math.floor((longest.length / 3) * share), longest.length / 3 - 1) * 3;
      if (longest.length) word(context, text, [0.5, 0.25, 0.75, 0.12, 0.88].map((share) => seen(longest.slice(at(share), at(share) + 3))), colours, false);
    }
  }

  /** Where the front was seen: a small square with its minute; on the far side of a shell it is hollow. */
  function marks(context, seenMarks, now, colours) {
    for (const { at_mm: place, min, text } of seenMarks) {
      if (now !== null && min > now) continue;
      const [u, v] = seen(place);
      const behind = !state.flat && state.raster && isHidden(state.raster, [u, v], near(place) * state.scale);
      context.fillStyle = behind ? colours.paper : colours.ink;
      context.strokeStyle = behind ? colours.ink : colours.paper;
      context.lineWidth = 1.5;
      context.beginPath();
      context.rect(u - 5, v - 5, 10, 10);
      context.fill();
      context.stroke();
      word(context, text, around([u, v], 16), colours);
    }
  }

  /** The paper that corners are tapped on, ruled as they are kept to. */
  function grid(context, step, colours) {
    const shown = [step, ...lengths.ruled].find((one) => one >= step && one * state.scale >= 14) ?? lengths.ruled.at(-1);
    const [low, high] = [under([0, state.high]), under([state.wide, 0])];
    context.lineWidth = 1;
    context.strokeStyle = colours.hair;
    for (const axis of [0, 1]) {
      for (let k = Math.ceil(low[axis] / shown); k * shown <= high[axis]; k += 1) {
        const ends = axis ? [low[0], k * shown, 0, high[0], k * shown, 0] : [k * shown, low[1], 0, k * shown, high[1], 0];
        stroke(context, ends);
      }
    }
    word(context, lengths.say(shown), [[30, state.high - 10]], colours);
  }

  function drawing(context, { points, holes = [], step }, colours) {
    if (step) grid(context, step, colours);
    context.strokeStyle = colours.ink;
    context.lineWidth = 2;
    for (const hole of holes) stroke(context, hole.flatMap(([x, y]) => [x, y, 0]), true);
    stroke(context, points.flatMap(([x, y]) => [x, y, 0]));
    context.strokeStyle = colours.paper;
    points.forEach((corner, n) => ring(context, seen(corner), n === 0 ? 10 : 7, n === 0 ? colours.flax : colours.ink));
  }

  return {
    state, seen, near, under, fit, middleOf,
    /** Takes over what the worker found. */
    take(found, wide) {
      state.found = found;
      const { points, gel } = found;
      const corners = [];
      let flat = true;
      for (let i = 0; i < points.length; i += 3) {
        corners.push([points[i], points[i + 1], points[i + 2]]);
        if (points[i + 2] !== 0) flat = false;
      }
      fit(corners, flat, wide);
      state.raster = rasterOf(found, { ...state, seen, near });
      let most = 0;
      for (const t of found.arrival) if (t > most && t < Infinity) most = t;
      state.end = Math.min(most, gel[1] > 0 ? gel[1] : most) || 1;
    },
    /** Takes over what was told of it; while a line is dragged, only its edges hold. */
    tell(drawn) {
      state.drawn = drawn;
      if (drawn) Object.assign(state, { edges: drawn.edges, feeds: drawn.feeds });
    },
    /**
     * Draws everything.
     * @param {{ lines: any[], zones: any[], chosen?: number, now?: number | null, draft?: { points: any[], holes?: any[], step?: number } | null, corners?: any[], marks?: { at_mm: number[], min: number, text: string }[] }} what
     *   `draft`: an outline that is not closed yet, instead of the fill; `corners`: an outline whose corners are moved, over it;
     *   `marks`: places where the front was seen.
     */
    draw({ lines: list, zones: patches, chosen = -1, now = null, draft = null, corners = [], marks: watched = [] }) {
      const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
      const dots = canvas.width / state.wide;
      const colours = coloursNow();
      context.setTransform(1, 0, 0, 1, 0, 0);
      context.fillStyle = colours.paper;
      context.fillRect(0, 0, canvas.width, canvas.height);
      context.setTransform(dots, 0, 0, dots, 0, 0);
      context.lineJoin = 'round';
      taken = [];
      if (draft) { drawing(context, draft, colours); write(); return; }
      const levels = (state.drawn?.levels ?? []).filter(({ min }) => min <= (now ?? state.end));
      if (state.raster) {
        // While a line is dragged, hatching is coarser: it must be quick.
        const steps = state.flat ? null : (state.drawn?.levels?.[0]?.min ?? null);
        tinted(context, state.raster, { now, end: state.end, gel: state.found.gel[1], step: steps, colours, dots: state.drawn ? dots : 1 });
      }
      context.strokeStyle = colours.ink;
      if (state.flat) {
        context.lineWidth = 1.1;
        for (const { strokes } of levels) for (const one of strokes) stroke(context, one);
      }
      context.lineWidth = 2;
      for (const edge of state.edges) rim(context, edge, colours);
      const quick = state.found?.quick;
      if (quick?.last && now === null) {
        context.strokeStyle = colours.ink;
        context.lineWidth = 2.2;
        ring(context, seen(quick.last), 8, null);
        word(context, quick.reach === 'will_not' ? 'last' : `last, ${state.drawn?.time.text ?? quick.time_text}`, around(seen(quick.last), 18), colours);
      }
      lines(context, list, colours, chosen);
      if (!list.some(({ does, opens }) => does === 'feed' && opens !== 'when_wet')) usual(context, colours);
      zones(context, patches, colours);
      marks(context, watched, now, colours);
      minutes(context, levels, colours);
      if (corners.length > 0) drawing(context, { points: [...corners, corners[0]] }, colours);
      write();
    },
  };
}
