// Lengths on the drawing board: the plan keeps millimetres, people type and read them in their own units.

const INCH = 25.4;
/** What one of each unit is in millimetres, by how people write it. */
const UNITS = [[/(?:millimet(?:re|er)s?|mm)$/i, 1], [/(?:centimet(?:re|er)s?|cm)$/i, 10], [/(?:inch(?:es)?|in\.?|["\u2033\u201d])$/i, INCH], [/(?:feet|foot|ft\.?|['\u2032\u2019])$/i, 12 * INCH], [/(?:met(?:re|er)s?|m)$/i, 1000]];
/** The entry of the core whose way with lengths is followed. */
const KEY = 'part.flow_length_mm';

/** A number as people type it; null for what is none. */
export function numberOf(text) {
  const packed = text.replace(/[\s\u00a0\u202f]/g, '').replace('\u2212', '-');
  const value = Number(/^[^,.]*,[^,.]*$/.test(packed) ? packed.replace(',', '.') : packed);
  return packed !== '' && Number.isFinite(value) ? value : null;
}

/** The same, and what is read off a tape in inches: 12 1/2, 3/8. */
function measured(text) {
  const [all, sign, whole, over, below] = /^\s*([-\u2212]?)(?:(\d+)[\s-]+)?(\d+)\s*\/\s*(\d+)\s*$/.exec(text) ?? [];
  if (!all) return numberOf(text);
  return Number(below) > 0 ? (sign ? -1 : 1) * (Number(whole ?? 0) + Number(over) / Number(below)) : null;
}

/** Feet and inches in one, as 3' 6", 3 ft 6 1/2 in: in millimetres; null for what is none. */
function feetAndInches(text) {
  const [all, feet, inches] = /^(\d+)\s*(?:feet|foot|ft\.?|['\u2032\u2019])\s*(\d.*?)\s*(?:inch(?:es)?|in\.?|["\u2033\u201d])?$/i.exec(text) ?? [];
  const rest = all ? measured(inches) : null;
  return rest === null ? null : (Number(feet) * 12 + rest) * INCH;
}

/** Free of what a change of units leaves behind the comma. */
export const thousandth = (mm) => Math.round(mm * 1000) / 1000;

/**
 * How lengths are told to who uses this page.
 * @param {any} app
 */
export function lengthsOf({ core, units }) {
  const us = units === 'us';
  const unit = us ? 'in' : 'mm';
  /** As text without its unit. */
  const show = (mm) => core.show_entry(KEY, us ? Math.round((mm / INCH) * 100) / 100 * INCH : Math.round(mm * 10) / 10, units);
  return {
    us, unit,
    name: us ? 'inches' : 'millimetres',
    show,
    /** As text with its unit. */
    say: (mm) => `${show(mm)}\u00a0${unit}`,
    /** What was typed, in millimetres; a unit that stands behind it holds. Null for what is no length. */
    read(text) {
      const trimmed = text.trim();
      const [ending, factor] = UNITS.find(([one]) => one.test(trimmed)) ?? [/$/, us ? INCH : 1];
      const value = measured(trimmed.replace(ending, ''));
      const mm = value === null ? feetAndInches(trimmed) : value * factor;
      return mm === null ? null : thousandth(mm);
    },
    /** The sentence for what cannot be read. */
    ask: (mm) => `Type a number in ${us ? 'inches' : 'millimetres'}, for example ${show(us ? Math.round(mm / INCH) * INCH : mm)}.`,
    /** A usual size, as whole inches where those are used. */
    usual: (mm) => (us ? thousandth(Math.round(mm / INCH) * INCH) : mm),
    /** A place in words. */
    place: (corner) => `${corner.slice(0, 3).map((value, axis) => `${['x', 'y', 'z'][axis]} ${show(value)}`).join(', ')}\u00a0${unit}`,
    /** Grids that corners keep to, fine and coarse; how closely a finger points; what a dragged corner keeps to; steps of the arrow keys, large and small [mm]. */
    grids: us ? [INCH / 2, 2 * INCH] : [10, 50],
    finger: us ? INCH / 10 : 1,
    snap: us ? INCH / 4 : 5,
    steps: us ? [INCH / 2, INCH / 20] : [10, 1],
    /** Ruling of the paper, finer to coarser [mm]. */
    ruled: us ? [2, 6, 12, 36, 120].map((inches) => inches * INCH) : [50, 100, 500, 1000, 5000],
    /** Width of the paper when nothing is known of the part, and the size from which on corners keep to the coarse grid [mm]. */
    paper: us ? 48 * INCH : 1200,
    coarse: us ? 40 * INCH : 1000,
  };
}
