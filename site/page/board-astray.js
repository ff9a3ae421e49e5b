// Lines that do not touch the part: drawn beside it, or on an insert, where nothing runs.
import { namesOf } from './board-rows.js';

/** Places along each stretch of a line that are looked at. */
const LOOKS = 12;

const far = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1], (a[2] ?? 0) - (b[2] ?? 0));

/**
 * The names of the lines that do not touch the part; they must be away from it by more than a side of its triangles.
 * @param {{ points: ArrayLike<number>, triangles: ArrayLike<number> }} found
 * @param {{ does: string, points_mm: number[][] }[]} lines
 */
export function astray({ points, triangles }, lines) {
  if (triangles.length === 0) return [];
  const at = (i) => [points[3 * i], points[3 * i + 1], points[3 * i + 2]];
  const used = [...new Set(triangles)].map(at);
  let side = 0;
  for (let t = 0; t < triangles.length; t += 3) side += far(at(triangles[t]), at(triangles[t + 1])) / (triangles.length / 3);
  const touches = (place) => used.some((point) => far(point, place) <= side);
  const along = (corners) => corners.flatMap((a, k) => {
    const b = corners[k + 1] ?? a;
    return Array.from({ length: LOOKS }, (_, n) => a.map((value, axis) => value + ((b[axis] - value) * n) / LOOKS));
  });
  const names = namesOf(lines);
  return names.filter((_, n) => !along(lines[n].points_mm).some(touches));
}
