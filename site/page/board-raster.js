// When resin comes to each dot of the picture, and the dots in tints of the ink: older is deeper, what stays dry is hatched.

/** Tint of what has just become wet, and what age adds to it. */
const [FRESH, AGED] = [0.14, 0.62];
/** How many tints there are, and how many shades a shell has. */
const [TINTS, SHADES] = [128, 8];
/** How much of the ink the side of a shell takes that is seen from its edge. */
const STEEP = 0.28;
/** Between two hatching lines, in CSS pixels. */
const HATCH = 7;
/** What lies this much behind the surface is hidden by it, in CSS pixels. */
const BEHIND = 6;

const rgb = (text) => (/^#(..)(..)(..)$/.exec(text)?.slice(1) ?? ['0', '0', '0']).map((part) => parseInt(part, 16));

/**
 * @param {{ points: Float32Array, triangles: Uint32Array, arrival: Float32Array }} found
 * @param {{ wide: number, high: number, scale: number, flat: boolean, seen: (p: number[]) => number[], near: (p: number[]) => number }} view
 * @returns {{ cols: number, rows: number, times: Float32Array, shades: Uint8Array | null, depths: Float32Array | null }} For each dot its minute, Infinity where none comes, -1 beside the part.
 */
export function rasterOf({ points, triangles, arrival }, { wide, high, scale, flat, seen, near }) {
  const [cols, rows] = [Math.round(wide), Math.round(high)];
  const times = new Float32Array(cols * rows).fill(-1);
  const shades = flat ? null : new Uint8Array(cols * rows);
  const depths = flat ? null : new Float32Array(cols * rows).fill(-Infinity);
  // Small triangles of a shell leave no cracks between them.
  const slack = flat ? 0.002 : 0.03;
  const count = points.length / 3;
  const [us, vs, ws] = [new Float32Array(count), new Float32Array(count), new Float32Array(count)];
  for (let i = 0; i < count; i += 1) {
    const point = [points[3 * i], points[3 * i + 1], points[3 * i + 2]];
    [us[i], vs[i]] = seen(point);
    if (depths) ws[i] = near(point) * scale;
  }
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]];
    const [ax, ay, bx, by, cx, cy] = [us[a], vs[a], us[b], vs[b], us[c], vs[c]];
    const double = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
    if (double === 0) continue;
    const [ta, tb, tc] = [arrival[a], arrival[b], arrival[c]];
    const never = !Number.isFinite(ta + tb + tc);
    const shade = shades ? steepness(a, b, c, Math.abs(double), us, vs, ws) : 0;
    const [x0, x1] = [Math.max(0, Math.floor(Math.min(ax, bx, cx))), Math.min(cols - 1, Math.ceil(Math.max(ax, bx, cx)))];
    const [y0, y1] = [Math.max(0, Math.floor(Math.min(ay, by, cy))), Math.min(rows - 1, Math.ceil(Math.max(ay, by, cy)))];
    // The weights of the corners go up evenly from dot to dot.
    const [stepB, stepC] = [(cy - ay) / double, (ay - by) / double];
    for (let y = y0; y <= y1; y += 1) {
      let wb = ((x0 + 0.5 - ax) * (cy - ay) - (y + 0.5 - ay) * (cx - ax)) / double;
      let wc = ((bx - ax) * (y + 0.5 - ay) - (by - ay) * (x0 + 0.5 - ax)) / double;
      for (let x = x0; x <= x1; x += 1, wb += stepB, wc += stepC) {
        if (wb < -slack || wc < -slack || wb + wc > 1 + slack) continue;
        const i = y * cols + x;
        if (depths && shades) {
          const depth = ws[a] + (ws[b] - ws[a]) * wb + (ws[c] - ws[a]) * wc;
          if (depth < depths[i]) continue;
          depths[i] = depth;
          shades[i] = shade;
        }
        times[i] = never ? Infinity : Math.max(0, ta + (tb - ta) * wb + (tc - ta) * wc);
      }
    }
  }
  return { cols, rows, times, shades, depths };
}

/** How much a triangle is seen from its edge, as one of the shades. */
function steepness(a, b, c, flat, us, vs, ws) {
  const [ux, uy, uz] = [us[b] - us[a], vs[b] - vs[a], ws[b] - ws[a]];
  const [vx, vy, vz] = [us[c] - us[a], vs[c] - vs[a], ws[c] - ws[a]];
  return Math.round((1 - flat / Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, flat)) * (SHADES - 1));
}

/** Whether a place that is so near lies behind what is seen there. */
export function isHidden({ cols, rows, depths }, [u, v], depth) {
  const [x, y] = [Math.min(cols - 1, Math.max(0, Math.floor(u))), Math.min(rows - 1, Math.max(0, Math.floor(v)))];
  return depths !== null && depths[y * cols + x] > depth + BEHIND;
}

/**
 * Paints what is wet at a time; without one, all of it with what stays dry at gel hatched.
 * @param {CanvasRenderingContext2D} context
 * @param {ReturnType<typeof rasterOf>} raster
 * @param {{ now: number | null, end: number, gel: number, step: number | null, colours: Record<string, string>, dots: number }} how
 */
export function tinted(context, { cols, rows, times, shades }, { now, end, gel, step, colours, dots }) {
  const [paper, ink, flax] = [rgb(colours.paper), rgb(colours.ink), rgb(colours.flax)];
  const image = new ImageData(cols, rows);
  const pixels = new Uint32Array(image.data.buffer);
  const table = new Uint32Array((TINTS + 1) * SHADES);
  for (let tint = 0; tint <= TINTS; tint += 1) {
    const share = tint === 0 ? 0 : FRESH + (AGED * (tint - 1)) / (TINTS - 1);
    for (let shade = 0; shade < SHADES; shade += 1) {
      const [r, g, b] = [0, 1, 2].map((k) => {
        const base = paper[k] + (flax[k] - paper[k]) * share;
        return Math.round(base + (ink[k] - base) * ((STEEP * shade) / (SHADES - 1)));
      });
      table[tint * SHADES + shade] = (255 << 24) | (b << 16) | (g << 8) | r;
    }
  }
  const until = Math.min(now ?? end, gel);
  const isOver = now === null || now >= gel;
  const [r, g, b] = ink;
  const lined = (150 << 24) | (b << 16) | (g << 8) | r;
  let hasDry = false;
  for (let i = 0; i < times.length; i += 1) {
    const t = times[i];
    if (t < 0) continue;
    const wet = t <= until * 1.0001;
    const tint = wet ? 1 + Math.min(TINTS - 1, Math.floor(((TINTS - 1) * Math.max(0, until - t)) / end)) : 0;
    pixels[i] = table[tint * SHADES + (shades ? shades[i] : 0)];
    if (!wet && t > gel) hasDry = true;
    // On a shell the dots carry the lines of equal time, so that its far side hides them.
    if (step !== null && wet) {
      const band = Math.floor(t / step);
      const [right, below] = [times[i + 1], times[i + cols]];
      if ((right >= 0 && Math.floor(right / step) !== band) || (below >= 0 && Math.floor(below / step) !== band)) pixels[i] = lined;
    }
  }
  const sheet = onSheet(image);
  context.imageSmoothingEnabled = true;
  context.drawImage(sheet, 0, 0, cols, rows);
  if (hasDry && isOver) context.drawImage(hatched(times, cols, rows, gel, colours.ink, dots), 0, 0, cols, rows);
}

function onSheet(image) {
  const sheet = document.createElement('canvas');
  [sheet.width, sheet.height] = [image.width, image.height];
  /** @type {any} */ (sheet.getContext('2d')).putImageData(image, 0, 0);
  return sheet;
}

/** Hatching where resin does not come before it gels. */
function hatched(times, cols, rows, gel, ink, dots) {
  const mask = new ImageData(cols, rows);
  const pixels = new Uint32Array(mask.data.buffer);
  for (let i = 0; i < times.length; i += 1) if (times[i] > gel) pixels[i] = 0xff000000;
  const sheet = document.createElement('canvas');
  [sheet.width, sheet.height] = [Math.round(cols * dots), Math.round(rows * dots)];
  const context = /** @type {CanvasRenderingContext2D} */ (sheet.getContext('2d'));
  context.scale(dots, dots);
  context.drawImage(onSheet(mask), 0, 0, cols, rows);
  context.globalCompositeOperation = 'source-in';
  context.strokeStyle = ink;
  context.lineWidth = 1.3;
  context.beginPath();
  for (let x = -rows; x < cols; x += HATCH) {
    context.moveTo(x, rows);
    context.lineTo(x + rows, 0);
  }
  context.stroke();
  return sheet;
}
