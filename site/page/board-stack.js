// The stack of a zone that has its own, from the mould up: cloth or core, how many plies, at what angle.
import { numberOf } from './board-length.js';
import { h } from './dom.js';
import { groupsOf } from './groups.js';

const NEW_ROW = { fabric: 'flax_twill_300', count: 1, angle_deg: 0 };

/**
 * @param {string} name What the zone is called.
 * @param {any[]} stack
 * @param {any} shelf
 * @param {(stack: any[]) => void} change
 */
export function zoneStack(name, stack, shelf, change) {
  const put = (at, part) => change(stack.map((one, other) => (other === at ? { ...one, ...part } : one)));
  const number = (row, at, key, words, usual) => {
    const input = h('input', { type: 'text', inputmode: 'decimal', value: String(row[key] ?? usual), 'aria-label': `${name}, row ${at + 1}, ${words}` });
    input.addEventListener('change', () => {
      const typed = numberOf(input.value);
      if (typed !== null) put(at, { [key]: typed });
    });
    return h('label', { class: 'with-box' }, input, ` ${words}`);
  };
  const row = (one, at) => {
    const groups = groupsOf(shelf, 'fabrics', one.fabric).map(({ heading, options }) => h('optgroup', { label: heading }, ...options.map(({ word, label }) => h('option', { value: word }, label))));
    const cloth = h('select', { 'aria-label': `${name}, cloth or core ${at + 1}` }, ...groups);
    // What is written out in the plan stays chosen until another is.
    if (typeof one.fabric === 'string') cloth.value = one.fabric;
    cloth.addEventListener('change', () => put(at, { fabric: cloth.value }));
    return h('li', {}, cloth, number(one, at, 'count', 'plies', 1), number(one, at, 'angle_deg', 'at degrees', 0),
      stack.length > 1 && h('button', { type: 'button', class: 'quiet', 'aria-label': `Take away row ${at + 1} of ${name}`, on: { click: () => change(stack.toSpliced(at, 1)) } }, 'Take away'));
  };
  return h('div', {}, h('span', { class: 'faded' }, 'From the mould up:'), h('ol', { class: 'zone-stack' }, ...stack.map(row)),
    h('button', { type: 'button', class: 'quiet', 'aria-label': `Add a cloth or core to ${name}`, on: { click: () => change([...stack, { ...(stack.at(-1) ?? NEW_ROW) }]) } }, 'Add a cloth or core'));
}
