// Fingers on the picture: lines and zones drawn across, edges and points tapped, handles dragged, an outline tapped corner by corner.

/** How far a finger may be off, in CSS pixels. */
const NEAR = 24;
/** A press that moves less than this is a tap. */
const STILL = 9;

const far = ([ax, ay], [bx, by]) => Math.hypot(ax - bx, ay - by);
const tenth = (value) => Math.round(value * 10) / 10;

/** Distance of a place from a stretch. */
function off(p, a, b) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const t = Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy || 1)));
  return far(p, [a[0] + dx * t, a[1] + dy * t]);
}

/**
 * @param {HTMLCanvasElement} canvas
 * @param {any} picture
 * @param {any} hooks
 */
export function touch(canvas, picture, hooks) {
  /** What the finger is at. @type {any} */
  let held = null;
  const at = (event) => {
    const box = canvas.getBoundingClientRect();
    return [((event.clientX - box.left) / box.width) * picture.state.wide, ((event.clientY - box.top) / box.height) * picture.state.high];
  };
  /** The place on the part: on a flat one under the finger, on a shell the nearest point. */
  function onPart(place) {
    if (picture.state.flat) return picture.under(place).map(tenth);
    const { points } = picture.state.found;
    let best = [Infinity, [0, 0, 0]];
    for (let i = 0; i < points.length; i += 3) {
      const point = [points[i], points[i + 1], points[i + 2]];
      const away = far(picture.seen(point), place);
      if (away < best[0]) best = [away, point];
    }
    return /** @type {any} */ (best[1]).map(tenth);
  }
  /** A handle of a line, or of a corner of the outline. */
  function handle(place) {
    let best = { away: NEAR, line: -1, corner: -1 };
    hooks.lines().forEach(({ points_mm: corners }, line) => {
      if (corners.length > 4) return;
      corners.forEach((point, corner) => {
        const away = far(picture.seen(point), place);
        if (away < best.away) best = { away, line, corner };
      });
      if (corners.length === 2) {
        const [a, b] = corners.map(picture.seen);
        const away = far([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], place);
        if (away < best.away) best = { away, line, corner: -1 };
      }
    });
    if (best.line < 0) {
      // Anywhere on a line takes the whole of it.
      hooks.lines().forEach(({ points_mm: corners }, line) => {
        for (let k = 0; k + 1 < corners.length; k += 1) {
          const away = off(place, picture.seen(corners[k]), picture.seen(corners[k + 1]));
          if (away < Math.min(best.away, 14)) best = { away, line, corner: -1 };
        }
      });
    }
    return best.line < 0 ? null : best;
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

  canvas.addEventListener('pointerdown', (event) => {
    if (event.button) return;
    const place = at(event);
    const tool = hooks.tool();
    held = { from: place, tool, start: onPart(place), grip: tool === 'corner' ? null : handle(place), lines: hooks.lines() };
    if (held.grip && tool !== 'move') held.grip = null;
    if (held.grip || tool !== 'move') { canvas.setPointerCapture(event.pointerId); event.preventDefault(); }
    if (held.grip) hooks.choose(held.grip.line);
  });

  canvas.addEventListener('pointermove', (event) => {
    if (!held) return;
    const place = at(event);
    if (held.grip) {
      const to = onPart(place);
      const { line, corner } = held.grip;
      const shift = to.map((value, axis) => value - held.start[axis]);
      const moved = held.lines[line].points_mm.map((point, k) => {
        if (corner >= 0) return k === corner ? to : point;
        return point.map((value, axis) => tenth(value + (shift[axis] ?? 0)));
      });
      held.moved = held.lines.map((one, n) => (n === line ? { ...one, points_mm: moved } : one));
      hooks.dragged(held.moved);
    } else if (held.tool !== 'move' && held.tool !== 'corner') hooks.stretched([held.start, onPart(place)], held.tool);
  });

  function end(event) {
    if (!held) return;
    const { from, tool, start, grip, moved } = held;
    const place = at(event);
    held = null;
    if (grip) {
      if (moved) hooks.dropped(moved);
      return;
    }
    const tapped = far(from, place) < STILL;
    const to = onPart(place);
    if (tool === 'corner') {
      if (tapped) hooks.cornerAt(to, place);
    } else if (tool === 'feed' || tool === 'vent') {
      if (!tapped) hooks.lineDrawn(tool, [start, to]);
      else hooks.lineDrawn(tool, side(place) ?? [to]);
    } else if (tool !== 'move' && !tapped) {
      const [[x0, y0], [x1, y1]] = [start, to];
      hooks.zoneDrawn(tool, [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]);
    }
  }
  canvas.addEventListener('pointerup', end);
  canvas.addEventListener('pointercancel', () => { held = null; hooks.redraw(); });

  // The chosen line moves with the arrow keys: a centimetre, or a millimetre with Shift.
  canvas.addEventListener('keydown', (event) => {
    const step = event.shiftKey ? 1 : 10;
    const by = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[event.key];
    const lines = hooks.lines();
    const n = hooks.chosen();
    if (!by || !lines[n]) return;
    event.preventDefault();
    hooks.dropped(lines.map((line, other) => (other === n ? { ...line, points_mm: line.points_mm.map(([x, y, ...z]) => [x + by[0], y + by[1], ...z]) } : line)));
  });
}
