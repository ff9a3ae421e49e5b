// One figure: its label, likely value, range and whisker; one tap opens where it comes from.
import { h, settle, svg, write } from './dom.js';
import { fetchPart } from './parts.js';

const WIDTH = 72;
let made = 0;
/** What tells where a figure comes from, once wherefrom.js is here. @type {{ where: ((estimate: any, sheet: any, hooks: any) => Node[]) | null }} */
export const from = { where: null };

/** The figure and its unit as people write them together. */
export const withUnit = ({ likely, unit }) => `${likely}${/^[%°]?$/.test(unit) ? '' : '\u00a0'}${unit}`;

/** A whisker drawn to scale: the line of zero, low to high, and a dot at the likely value. */
export function whisker([low, likely, high]) {
  const at = (share) => (2 + share * (WIDTH - 4)).toFixed(1);
  return svg('svg', { class: 'whisker', viewBox: `0 0 ${WIDTH} 14`, width: WIDTH, height: 14, 'aria-hidden': 'true', focusable: 'false' },
    svg('line', { class: 'scale', x1: 2, x2: WIDTH - 2, y1: 7, y2: 7 }),
    svg('line', { class: 'scale', x1: 2, x2: 2, y1: 3, y2: 11 }),
    svg('line', { class: 'reach', x1: at(low), x2: at(high), y1: 7, y2: 7 }),
    svg('line', { class: 'reach', x1: at(low), x2: at(low), y1: 4, y2: 10 }),
    svg('line', { class: 'reach', x1: at(high), x2: at(high), y1: 4, y2: 10 }),
    svg('circle', { class: 'likely', cx: at(likely), cy: 7, r: 3 }));
}

/**
 * A figure that can be kept up to date.
 * @param {{ goToInput: (key: string) => void, entryLabel: (key: string) => string | null, hasEntry: (key: string) => boolean }} hooks
 * @returns {{ el: HTMLElement, update: (estimate: any, sheet: any) => void }}
 */
export function figure(hooks) {
  const id = `from-${made += 1}`;
  const label = h('span', { class: 'label' });
  const value = h('span', { class: 'value' });
  const unit = h('span', { class: 'unit' });
  const range = h('span', { class: 'range' });
  const drawn = h('span', { class: 'drawn' });
  const panel = h('div', { class: 'panel', id, hidden: true });
  const button = h('button', { type: 'button', class: 'figure', 'aria-expanded': 'false', 'aria-controls': id },
    label, h('span', { class: 'amount' }, value, unit), range, drawn);
  let latest = { estimate: /** @type {any} */ (null), sheet: /** @type {any} */ (null) };
  button.addEventListener('click', () => {
    panel.hidden = !panel.hidden;
    button.setAttribute('aria-expanded', String(!panel.hidden));
    if (!panel.hidden) void fillPanel();
  });
  const fill = () => panel.replaceChildren(...from.where(latest.estimate, latest.sheet, hooks));
  const fillPanel = () => (from.where ? fill() : fetchPart('wherefrom').then(fill, () => { panel.textContent = 'This part of Bastwork is not on this device yet. Try again with a network.'; }));
  return {
    el: h('div', { class: 'figure-place' }, button, panel),
    update(estimate, sheet) {
      latest = { estimate, sheet };
      const { shown } = estimate;
      write(label, estimate.label);
      const before = value.textContent;
      if (write(value, shown.likely) && before) settle(value);
      write(unit, shown.unit && `${/^[%°]$/.test(shown.unit) ? '' : '\u00a0'}${shown.unit}`);
      write(range, shown.range);
      button.dataset.basis = estimate.basis;
      drawn.replaceChildren(...(shown.range ? [whisker(shown.whisker)] : []));
      if (!panel.hidden) void fillPanel();
    },
  };
}
