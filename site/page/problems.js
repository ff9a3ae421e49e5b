// The list of entries that need another look; it takes the focus only when the reader asks for it.
import { h, linkTo, write } from './dom.js';

/**
 * @param {HTMLElement} place
 * @param {HTMLElement} before The line above the strip that says the figures are from before.
 * @param {{ goToInput: (path: string) => void, entryLabel: (path: string) => string | null, leaveOut: (path: string) => (() => void) | null }} hooks
 */
export function problemList(place, before, hooks) {
  const title = /** @type {HTMLElement} */ (place.querySelector('h2'));
  const list = h('ul', {});
  place.append(list);
  const line = h('p', {});
  const show = h('button', { type: 'button', on: { click() { place.scrollIntoView({ block: 'start' }); title.focus({ preventScroll: true }); } } }, 'Show');
  before.append(line, show);
  return {
    /** @param {{ field: string, sentence: string }[]} problems @param {boolean} stale Whether figures from before are on show. */
    update(problems, stale) {
      place.hidden = problems.length === 0;
      before.hidden = problems.length === 0;
      const count = problems.length === 1 ? '1 entry needs another look' : `${problems.length} entries need another look`;
      write(title, stale ? `${count}. The figures below are from before.` : count);
      write(line, stale ? `From before: ${count}.` : `${count}.`);
      list.replaceChildren(...problems.map(({ field, sentence }) => {
        const leave = hooks.leaveOut(field);
        return h('li', {}, hooks.entryLabel(field) === null ? sentence : linkTo(field, sentence, hooks.goToInput),
          leave && ' ', leave && h('button', { type: 'button', class: 'quiet', on: { click: leave } }, 'Leave it out'));
      }));
      document.documentElement.classList.toggle('from-before', stale && problems.length > 0);
    },
  };
}
