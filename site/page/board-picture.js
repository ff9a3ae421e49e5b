// The picture of a fill on a canvas: when resin comes to each dot of it, in tints of the ink, with lines and words.

/** Space around the part, in CSS pixels. */
const MARGIN = 30;
/** How steeply a shell is seen from above. */
const TILT = 0.9;

const rgb = (text) => {
  const [, r, g, b] = /^#(..)(..)(..)$/.exec(text.trim()) ?? [];
  return r ? [r, g, b].map((part) => parseInt(part, 16)) : [0, 0, 0];
};

const inks = () => {
  const style = getComputedStyle(document.documentElement);
  return Object.fromEntries(['paper', 'ink', 'flax', 'line', 'hair'].map((name) => [name, style.getPropertyValue(`--${name}`)]));
};

/**
 * A canvas and what is drawn on it.
 * @param {HTMLCanvasElement} canvas
 */
export function picture(canvas) {
  const state = {
    /** @type {any} */ found: null, /** @type {any} */ drawn: null, wide: 320, high: 240, scale: 1, yaw: 0.6, flat: true,
    from: [0, 0], low: [0, 0], /** @type {Float32Array | null} */ times: null, cols: 0, rows: 0, most: 1,
  };

  /** Where a point of the part stands on the canvas, in CSS pixels. */
  const seen = ([x, y, z = 0]) => {
    const [u, v] = state.flat ? [x, y] : [x * Math.cos(state.yaw) - y * Math.sin(state.yaw), (x * Math.sin(state.yaw) + y * Math.cos(state.yaw)) * Math.sin(TILT) + z * Math.cos(TILT)];
    return [state.from[0] + (u - state.low[0]) * state.scale, state.from[1] - (v - state.low[1]) * state.scale];
  };
  /** The point of a flat part under a place of the canvas. */
  const under = ([px, py]) => [(px - state.from[0]) / state.scale + state.low[0], (state.from[1] - py) / state.scale + state.low[1]];

  /** Fits what is to be seen, corners as x and y in millimetres. */
  function fit(corners, flat, wide) {
    state.flat = flat;
    state.wide = Math.max(240, wide);
    const turned = { ...state };
    Object.assign(state, { scale: 1, low: [0, 0], from: [0, 0] });
    const at = corners.map((corner) => { const [u, v] = seen(corner); return [u, -v]; });
    Object.assign(state, turned);
    const [us, vs] = [at.map(([u]) => u), at.map(([, v]) => v)];
    const [lowU, highU, lowV, highV] = [Math.min(...us), Math.max(...us), Math.min(...vs), Math.max(...vs)];
    const [broad, tall] = [Math.max(highU - lowU, 1), Math.max(highV - lowV, 1)];
    state.scale = Math.min((state.wide - 2 * MARGIN) / broad, (state.wide * 1.1 - 2 * MARGIN) / tall);
    state.high = Math.round(tall * state.scale + 2 * MARGIN);
    state.low = [lowU, lowV];
    state.from = [(state.wide - broad * state.scale) / 2, state.high - MARGIN];
    const dots = Math.min(devicePixelRatio || 1, 2);
    canvas.width = Math.round(state.wide * dots);
    canvas.height = Math.round(state.high * dots);
    canvas.dataset.scale = String(state.scale);
  }

  /** Works out, for each dot, when resin comes there. */
  function raster() {
    const { points, triangles, arrival } = state.found;
    const [cols, rows] = [Math.round(state.wide), Math.round(state.high)];
    if (state.times?.length !== cols * rows) state.times = new Float32Array(cols * rows);
    const times = /** @type {Float32Array} */ (state.times);
    times.fill(-1);
    Object.assign(state, { cols, rows });
    const places = new Float32Array((points.length / 3) * 2);
    for (let i = 0; i < points.length / 3; i += 1) {
      const [u, v] = seen([points[3 * i], points[3 * i + 1], points[3 * i + 2]]);
      places[2 * i] = u;
      places[2 * i + 1] = v;
    }
    let most = 0;
    for (const t of arrival) if (t > most) most = t;
    state.most = most || 1;
    for (let t = 0; t < triangles.length; t += 3) {
      const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]];
      const [ax, ay, bx, by, cx, cy] = [places[2 * a], places[2 * a + 1], places[2 * b], places[2 * b + 1], places[2 * c], places[2 * c + 1]];
      const double = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
      if (double === 0) continue;
      const [ta, tb, tc] = [arrival[a], arrival[b], arrival[c]];
      const never = Number.isNaN(ta + tb + tc);
      const [x0, x1] = [Math.max(0, Math.floor(Math.min(ax, bx, cx))), Math.min(cols - 1, Math.ceil(Math.max(ax, bx, cx)))];
      const [y0, y1] = [Math.max(0, Math.floor(Math.min(ay, by, cy))), Math.min(rows - 1, Math.ceil(Math.max(ay, by, cy)))];
      for (let y = y0; y <= y1; y += 1) {
        for (let x = x0; x <= x1; x += 1) {
          const wb = ((x - ax) * (cy - ay) - (y - ay) * (cx - ax)) / double;
          const wc = ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / double;
          if (wb < -0.001 || wc < -0.001 || wb + wc > 1.001) continue;
          times[y * cols + x] = never ? Infinity : ta + (tb - ta) * wb + (tc - ta) * wc;
        }
      }
    }
  }

  /** Paints what is wet at a time; without one, all of it with what stays dry at gel hatched. */
  function paint(context, now) {
    const { cols, rows } = state;
    const times = /** @type {Float32Array} */ (state.times);
    const colours = inks();
    const [paper, ink, flax] = [rgb(colours.paper), rgb(colours.ink), rgb(colours.flax)];
    const image = context.createImageData(cols, rows);
    const { data } = image;
    const step = state.drawn?.levels?.[0]?.min ?? Infinity;
    const gel = state.found.gel[1];
    const end = now ?? state.most;
    for (let i = 0; i < times.length; i += 1) {
      const t = times[i];
      if (t < 0) continue;
      let shade = 0;
      if (t <= end && t <= gel) shade = 0.14 + 0.6 * Math.min(1, (end - t) / state.most);
      const [x, y] = [i % cols, Math.floor(i / cols)];
      const dry = t > gel && (now === null || now >= gel);
      const hatched = dry && (x + y) % 7 < 2;
      const next = times[i + 1];
      const below = times[i + cols];
      const band = Math.floor(t / step);
      const lined = step < Infinity && t <= end && ((next >= 0 && Math.floor(next / step) !== band) || (below >= 0 && Math.floor(below / step) !== band));
      for (let k = 0; k < 3; k += 1) {
        const base = paper[k] + (flax[k] - paper[k]) * shade;
        data[4 * i + k] = hatched ? base + (ink[k] - base) * 0.75 : lined ? base + (ink[k] - base) * 0.55 : base;
      }
      data[4 * i + 3] = 255;
    }
    return image;
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

  const word = (context, text, [u, v], colours, align = 'center') => {
    context.font = '600 13px system-ui, sans-serif';
    context.textAlign = align;
    context.textBaseline = 'middle';
    context.lineWidth = 3.5;
    context.strokeStyle = colours.paper;
    context.strokeText(text, u, v);
    context.fillStyle = colours.ink;
    context.fillText(text, u, v);
  };

  function lines(context, list, colours, chosen) {
    list.forEach(({ does, points_mm: corners }, n) => {
      const flatLine = corners.flatMap(([x, y, z = 0]) => [x, y, z]);
      const feed = does === 'feed';
      context.lineCap = 'round';
      context.strokeStyle = feed ? colours.flax : colours.ink;
      if (corners.length === 1) {
        const [u, v] = seen(corners[0]);
        context.beginPath();
        context.arc(u, v, feed ? 7 : 6, 0, 7);
        context.lineWidth = 2;
        context.fillStyle = feed ? colours.flax : colours.paper;
        context.fill();
        context.stroke();
      } else {
        context.lineWidth = feed ? 7 : 6;
        stroke(context, flatLine);
        if (!feed) {
          context.strokeStyle = colours.paper;
          context.lineWidth = 3;
          stroke(context, flatLine);
        }
      }
      const middle = corners[Math.floor(corners.length / 2)];
      const [a, b] = [corners[Math.max(0, Math.floor(corners.length / 2) - 1)], middle].map(seen);
      word(context, `${feed ? 'Feed' : 'Vent'} ${n + 1}`, [Math.min(Math.max((a[0] + b[0]) / 2, 30), state.wide - 30), Math.min(Math.max((a[1] + b[1]) / 2 - 13, 9), state.high - 9)], colours);
      if (n === chosen) {
        for (const corner of corners) {
          const [u, v] = seen(corner);
          context.beginPath();
          context.arc(u, v, 9, 0, 7);
          context.lineWidth = 2.5;
          context.strokeStyle = colours.ink;
          context.fillStyle = colours.paper;
          context.fill();
          context.stroke();
        }
      }
    });
  }

  /** The level at which a shape of the plan lies: its zones. */
  const NAMES = { mesh: 'mesh', plies: 'extra plies', insert: 'insert', break: 'no mesh' };
  function zones(context, list, colours) {
    for (const { lies, points_mm: corners } of list) {
      context.setLineDash([6, 4]);
      context.lineWidth = 1.6;
      context.strokeStyle = colours.ink;
      stroke(context, corners.flatMap(([x, y]) => [x, y, 0]), true);
      context.setLineDash([]);
      const [u, v] = seen(corners.reduce(([sx, sy], [x, y]) => [sx + x / corners.length, sy + y / corners.length], [0, 0]));
      word(context, NAMES[lies] ?? lies, [u, v], colours);
    }
  }

  return {
    state, seen, under, fit,
    /** Takes over what the worker found. */
    take(found, wide) {
      state.found = found;
      const corners = [];
      let flat = true;
      for (let i = 0; i < found.points.length; i += 3) {
        corners.push([found.points[i], found.points[i + 1], found.points[i + 2]]);
        if (found.points[i + 2] !== 0) flat = false;
      }
      fit(corners, flat, wide);
      raster();
    },
    /**
     * Draws everything.
     * @param {{ lines: any[], zones: any[], chosen?: number, now?: number | null, draft?: any[] | null, corners?: any[] }} what
     */
    draw({ lines: list, zones: patches, chosen = -1, now = null, draft = null, corners = [] }) {
      const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
      const dots = canvas.width / state.wide;
      const colours = inks();
      context.setTransform(1, 0, 0, 1, 0, 0);
      context.fillStyle = colours.paper;
      context.fillRect(0, 0, canvas.width, canvas.height);
      if (state.found && !draft) {
        const sheet = new OffscreenCanvas(state.cols, state.rows);
        /** @type {any} */ (sheet.getContext('2d')).putImageData(paint(sheet.getContext('2d'), now), 0, 0);
        context.imageSmoothingEnabled = true;
        context.drawImage(sheet, 0, 0, canvas.width, canvas.height);
      }
      context.setTransform(dots, 0, 0, dots, 0, 0);
      context.lineJoin = 'round';
      if (draft) {
        context.strokeStyle = colours.ink;
        context.lineWidth = 2;
        stroke(context, draft.flatMap(([x, y]) => [x, y, 0]));
        draft.forEach((corner, n) => {
          const [u, v] = seen(corner);
          context.beginPath();
          context.arc(u, v, n === 0 ? 9 : 6, 0, 7);
          context.fillStyle = n === 0 ? colours.flax : colours.ink;
          context.fill();
        });
        return;
      }
      context.strokeStyle = colours.ink;
      context.lineWidth = 1.6;
      for (const edge of state.drawn?.edges ?? []) stroke(context, edge);
      zones(context, patches, colours);
      if (now === null) {
        // Each word where it stands clear of those before it; along its line there may be room elsewhere.
        const taken = [];
        for (const { text, strokes } of state.drawn?.levels ?? []) {
          const longest = strokes.reduce((best, one) => (one.length > best.length ? one : best), []);
          for (const share of [0.5, 0.25, 0.75, 0.12, 0.88]) {
            const at = Math.floor((longest.length / 3) * share) * 3;
            if (at >= longest.length) continue;
            const [u, v] = seen([longest[at], longest[at + 1], longest[at + 2]]);
            if (u < 24 || u > state.wide - 24 || taken.some(([ou, ov]) => Math.abs(ou - u) < 52 && Math.abs(ov - v) < 16)) continue;
            taken.push([u, v]);
            word(context, text, [u, v], colours);
            break;
          }
        }
      }
      lines(context, list, colours, chosen);
      for (const corner of corners) {
        const [u, v] = seen(corner);
        context.strokeStyle = colours.ink;
        context.lineWidth = 1.6;
        context.strokeRect(u - 5, v - 5, 10, 10);
      }
      const last = state.found?.quick?.last;
      if (last) {
        const [u, v] = seen(last);
        context.beginPath();
        context.arc(u, v, 8, 0, 7);
        context.strokeStyle = colours.ink;
        context.lineWidth = 2.2;
        context.stroke();
        word(context, 'last', [Math.min(Math.max(u, 18), state.wide - 18), v > state.high - 24 ? v - 17 : v + 17], colours);
      }
    },
  };
}
