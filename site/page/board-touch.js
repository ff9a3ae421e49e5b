// Fingers on the picture: lines and zones drawn across, edges and points tapped, handles dragged, an outline tapped corner by corner.
import { thousandth } from './board-length.js';

/** How far a finger may be off, in CSS pixels. */
const NEAR = 24;
/** How far it may be off a line that it means as a whole. */
const ON = 14;
/** A press that moves less than this is a tap. */
const STILL = 9;
/** Lines with more corners are moved as a whole only. */
const MOST_HANDLES = 4;
/** Places at which a stroke across a shell is laid on it. */
const LAID = 24;

const far = ([ax, ay], [bx, by]) => Math.hypot(ax - bx, ay - by);
const tenth = (value) => Math.round(value * 10) / 10;

/** Distance of a place from a stretch. */
function off(p, a, b) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const t = Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy || 1)));
  return far(p, [a[0] + dx * t, a[1] + dy * t]);
}

/** The point of the part that is seen at a place, and the corner of its mesh that is nearest to it. */
function skinAt({ seen, near, state: { found: { points, triangles } } }, place) {
  const at = (i) => [points[3 * i], points[3 * i + 1], points[3 * i + 2]];
  const places = Array.from({ length: points.length / 3 }, (_, i) => seen(at(i)));
  let front = { depth: -Infinity, point: /** @type {number[] | null} */ (null) };
  for (let t = 0; t < triangles.length; t += 3) {
    const three = [triangles[t], triangles[t + 1], triangles[t + 2]];
    const [[ax, ay], [bx, by], [cx, cy]] = three.map((i) => places[i]);
    const double = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
    const wb = ((place[0] - ax) * (cy - ay) - (place[1] - ay) * (cx - ax)) / double;
    const wc = ((bx - ax) * (place[1] - ay) - (by - ay) * (place[0] - ax)) / double;
    if (!(wb >= 0 && wc >= 0 && wb + wc <= 1)) continue;
    const [a, b, c] = three.map(at);
    const point = a.map((value, axis) => value + (b[axis] - value) * wb + (c[axis] - value) * wc);
    // Its far side is not meant.
    if (near(point) > front.depth) front = { depth: near(point), point };
  }
  let nearest = 0;
  places.forEach((one, i) => { if (far(one, place) < far(places[nearest], place)) nearest = i; });
  return { under: front.point, beside: at(nearest), away: far(places[nearest], place) };
}

/** The point of a shell that is seen at a place; beside it, the nearest. */
function onShell(picture, place) {
  const { under, beside } = skinAt(picture, place);
  return under ?? beside;
}

/**
 * @param {HTMLCanvasElement} canvas
 * @param {any} picture
 * @param {any} hooks
 */
export function touch(canvas, picture, hooks) {
  /** What the finger is at. @type {any} */
  let held = null;
  const at = ({ clientX, clientY }) => {
    const box = canvas.getBoundingClientRect();
    return [((clientX - box.left) / box.width) * picture.state.wide, ((clientY - box.top) / box.height) * picture.state.high];
  };

  /** The place on the part: on a flat one under the finger, on a shell the one that is seen there, or its nearest point. */
  const onPart = (place) => (picture.state.flat ? picture.under(place) : onShell(picture, place)).map(tenth);

  /** A stroke from one place to another, laid on the part. */
  function laid(from, to) {
    if (picture.state.flat) return [onPart(from), onPart(to)];
    const all = Array.from({ length: LAID + 1 }, (_, k) => onPart([from[0] + ((to[0] - from[0]) * k) / LAID, from[1] + ((to[1] - from[1]) * k) / LAID]));
    return all.filter((point, k) => k === 0 || point.some((value, axis) => value !== all[k - 1][axis]));
  }

  /** A line, or one of its corners. */
  function handle(place) {
    let best = { away: NEAR, line: -1, corner: -1 };
    // Those of the chosen line lie on top of the others.
    const nearer = (away, line) => away - (line === hooks.chosen() ? 6 : 0) < best.away;
    hooks.lines().forEach(({ points_mm: corners }, line) => {
      if (corners.length > MOST_HANDLES) return;
      corners.forEach((point, corner) => {
        const away = far(picture.seen(point), place);
        if (nearer(away, line)) best = { away, line, corner: corners.length === 1 ? -1 : corner };
      });
      if (corners.length === 2) {
        const away = far(picture.middleOf(corners), place);
        if (nearer(away, line)) best = { away, line, corner: -1 };
      }
    });
    if (best.line < 0) {
      // Anywhere on a line takes the whole of it.
      hooks.lines().forEach(({ points_mm: corners }, line) => {
        for (let k = 0; k + 1 < corners.length; k += 1) {
          const away = off(place, picture.seen(corners[k]), picture.seen(corners[k + 1]));
          if (away < Math.min(best.away, ON)) best = { away, line, corner: -1 };
        }
      });
    }
    return best.line < 0 ? null : best;
  }

  /** The corner of the outline under a finger. */
  function cornerAt(place) {
    const list = (hooks.corners() ?? []).map((point, corner) => ({ corner, away: far(picture.seen(point), place) })).filter(({ away }) => away < NEAR);
    return list.sort((one, other) => one.away - other.away)[0] ?? null;
  }

  const side = (place) => {
    let best = { away: NEAR, points: /** @type {any} */ (null) };
    for (const points of hooks.sides()) {
      for (let k = 0; k + 1 < points.length; k += 1) {
        const away = off(place, picture.seen(points[k]), picture.seen(points[k + 1]));
        if (away < best.away) best = { away, points };
      }
    }
    return best.points;
  };

  /** The place of the part that a finger means; a little beside its edge, that edge; null where the part is not. */
  function meant(place) {
    const { under, beside, away } = skinAt(picture, place);
    if (under) return under.slice(0, picture.state.flat ? 2 : 3).map(tenth);
    return away < NEAR ? beside.slice(0, picture.state.flat ? 2 : 3).map(tenth) : null;
  }

  /** What a press at a place takes hold of. */
  const gripAt = (place) => (hooks.tool() === 'move' ? handle(place) : hooks.tool() === 'shape' ? cornerAt(place) : null);

  /** A line at its new place. */
  function movedLine({ points_mm: corners }, corner, from, to) {
    if (corner >= 0) return corners.map((point, k) => (k === corner ? onPart(to) : point));
    const by = [to[0] - from[0], to[1] - from[1]];
    if (!picture.state.flat) return corners.map((point) => { const [u, v] = picture.seen(point); return onPart([u + by[0], v + by[1]]); });
    const [a, b] = [picture.under(from), picture.under(to)];
    return corners.map(([x, y, ...z]) => [tenth(x + b[0] - a[0]), tenth(y + b[1] - a[1]), ...z]);
  }

  // A finger on a handle drags it and not the page.
  canvas.addEventListener('touchstart', (event) => {
    if (event.touches.length === 1 && gripAt(at(event.touches[0]))) event.preventDefault();
  }, { passive: false });

  canvas.addEventListener('pointerdown', (event) => {
    if (event.button || held) return;
    const place = at(event);
    const tool = hooks.tool();
    held = { id: event.pointerId, from: place, tool, grip: gripAt(place), lines: hooks.lines(), corners: hooks.corners() };
    const isTaking = !['move', 'shape'].includes(tool);
    if (!held.grip && !isTaking) { held = null; return; }
    canvas.setPointerCapture(event.pointerId);
    event.preventDefault();
    if (tool === 'move') { hooks.choose(held.grip.line); canvas.focus({ preventScroll: true }); }
  });

  canvas.addEventListener('pointermove', (event) => {
    if (!held || event.pointerId !== held.id) return;
    const place = at(event);
    if (!held.begun && far(held.from, place) < STILL) return;
    held.begun = true;
    const { tool, grip } = held;
    if (tool === 'shape') {
      held.moved = held.corners.map((point, k) => (k === grip.corner ? hooks.onGrid(picture.under(place)) : point));
      hooks.cornersDragged(held.moved);
    } else if (grip) {
      const points = movedLine(held.lines[grip.line], grip.corner, held.from, place);
      held.moved = held.lines.map((one, n) => (n === grip.line ? { ...one, points_mm: points } : one));
      hooks.dragged(held.moved);
    } else if (tool !== 'corner' && tool !== 'front') hooks.stretched([held.from, place], tool);
  });

  canvas.addEventListener('pointerup', (event) => {
    if (!held || event.pointerId !== held.id) return;
    const { from, tool, grip, moved, begun } = held;
    const place = at(event);
    held = null;
    if (grip) {
      if (moved && tool === 'shape') hooks.cornersDropped(moved);
      else if (moved) hooks.dropped(moved);
    } else if (tool === 'corner') {
      if (!begun) hooks.cornerAt(picture.under(place), place);
    } else if (tool === 'front') {
      hooks.frontAt(meant(place));
    } else if (['feed', 'vent', 'channel'].includes(tool)) {
      if (begun) hooks.lineDrawn(tool, laid(from, place));
      // A channel has a length.
      else if (tool !== 'channel' || side(place)) hooks.lineDrawn(tool, side(place) ?? [onPart(place)]);
    } else if (begun) {
      const [[x0, y0], [x1, y1]] = [from, place].map((one) => picture.under(one).map(tenth));
      hooks.zoneDrawn(tool, [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]);
    }
  });
  canvas.addEventListener('pointercancel', () => {
    const cut = held;
    held = null;
    if (cut?.moved && cut.tool === 'move') hooks.dropped(cut.moved);
    else hooks.undone();
  });

  // The chosen line moves with the arrow keys; with Shift by less.
  canvas.addEventListener('keydown', (event) => {
    const step = hooks.steps[event.shiftKey ? 1 : 0];
    const by = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[event.key];
    const lines = hooks.lines();
    if (!by || lines.length === 0) return;
    event.preventDefault();
    // Without a chosen line the first press chooses one.
    if (!lines[hooks.chosen()]) { hooks.choose(0); hooks.moved(0); return; }
    const n = hooks.chosen();
    if (picture.state.flat) {
      hooks.dropped(lines.map((line, other) => (other === n ? { ...line, points_mm: line.points_mm.map(([x, y, ...z]) => [thousandth(x + by[0]), thousandth(y + by[1]), ...z]) } : line)));
    } else {
      const { scale } = picture.state;
      const points = movedLine(lines[n], -1, [0, 0], [by[0] * scale, -by[1] * scale]);
      hooks.dropped(lines.map((line, other) => (other === n ? { ...line, points_mm: points } : line)));
    }
    hooks.moved(n);
  });
}
