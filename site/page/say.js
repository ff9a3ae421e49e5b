// One line at the top of the ticket that tells what has happened, with an undo where there is one.
import { h } from './dom.js';

/**
 * @param {HTMLElement} place The live region.
 * @returns {(sentence: string, options?: { undo?: () => void, kind?: 'standing' | 'passing', action?: { label: string, go: () => void } }) => void}
 */
export function sayer(place) {
  let timer;
  const clear = () => { clearTimeout(timer); place.replaceChildren(); };
  return (sentence, { undo, kind = 'passing', action } = {}) => {
    clear();
    if (!sentence) return;
    const choice = undo ? { label: 'Undo', go: undo } : action;
    place.append(h('p', {}, sentence));
    if (choice) place.append(h('button', { type: 'button', on: { click() { clear(); choice.go(); } } }, choice.label));
    place.append(h('button', { type: 'button', class: 'quiet', on: { click: clear } }, 'Close'));
    // What can be undone or answered stays until it is closed; the rest has been read by then.
    if (!choice && kind === 'passing') timer = setTimeout(clear, 12000);
  };
}
