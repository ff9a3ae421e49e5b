// The lines at the top of the ticket that tell what has happened, each with an undo where there is one.
import { h } from './dom.js';

/** Most lines shown at once; the oldest goes first. */
const MOST = 2;
/** Milliseconds a line stays when nothing is asked of the reader. */
const STAYS = 15000;

/**
 * @param {HTMLElement} passing The live region for what has just happened; it stays in view.
 * @param {HTMLElement} standing The live region for what holds until the reader has dealt with it.
 * @returns {(sentence: string | null | undefined, options?: { undo?: () => void, kind?: 'standing' | 'passing', action?: { label: string, go: () => void } }) => void}
 */
export function sayer(passing, standing) {
  return (sentence, { undo, kind = 'passing', action } = {}) => {
    if (!sentence) return;
    const place = kind === 'standing' ? standing : passing;
    // What stands there already is not said again at every keystroke.
    if (kind === 'standing' && !undo && !action && [...place.children].some((line) => line.firstChild?.textContent === sentence)) return;
    for (const line of [...place.children]) if (line.firstChild?.textContent === sentence) line.remove();
    while (place.children.length >= MOST) place.firstChild?.remove();
    const choice = undo ? { label: 'Undo', go: undo } : action;
    const line = h('div', { class: 'said' }, h('p', {}, sentence));
    if (choice) line.append(h('button', { type: 'button', on: { click() { line.remove(); choice.go(); } } }, choice.label));
    line.append(h('button', { type: 'button', class: 'quiet', on: { click: () => line.remove() } }, 'Close'));
    place.append(line);
    // What can be undone or answered stays until it is closed.
    if (!choice && kind === 'passing') setTimeout(() => line.remove(), STAYS);
  };
}
