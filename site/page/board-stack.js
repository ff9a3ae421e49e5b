// What lies in a zone or along a line, in entries: the stack of a zone that has its own, and the section of a channel.
import { numberOf } from './board-length.js';
import { h, write } from './dom.js';
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
      stack.length > 1 && h('button', { type: 'button', class: 'quiet', 'aria-label': `Take away row ${at + 1} of ${name}`, on: { click: () => change(stack.toSpliced(at, 1)) } }, 'Take away row'));
  };
  return h('div', {}, h('span', { class: 'faded' }, 'From the mould up:'), h('ol', { class: 'zone-stack' }, ...stack.map(row)),
    h('button', { type: 'button', class: 'quiet', 'aria-label': `Add a cloth or core to ${name}`, on: { click: () => change([...stack, { ...(stack.at(-1) ?? NEW_ROW) }]) } }, 'Add a cloth or core'));
}

const SECTIONS = { gap: 'A gap beside the cloth', corner: 'An inside corner that is bridged' };

/**
 * The section of a channel.
 * @param {string} name What the channel is called.
 * @param {any} line
 * @param {any} lengths
 * @param {(line: any) => void} change
 */
export function channelEntries(name, line, lengths, change) {
  const corner = line.section === 'corner';
  const kind = h('select', { 'aria-label': `${name}, what it is` }, ...Object.entries(SECTIONS).map(([value, words]) => h('option', { value }, words)));
  kind.value = corner ? 'corner' : 'gap';
  kind.addEventListener('change', () => change({ ...line, section: kind.value }));
  const told = h('span', { class: 'problem', role: 'status' });
  const size = (key, words, usual) => {
    const input = h('input', { type: 'text', inputmode: 'decimal', autocomplete: 'off', value: Number.isFinite(line[key]) ? lengths.show(line[key]) : '', placeholder: usual, 'aria-label': `${name}, ${words} in ${lengths.name}` });
    input.addEventListener('change', () => {
      const { [key]: _, ...rest } = line;
      const typed = input.value.trim() ? lengths.read(input.value) : undefined;
      if (typed === null) { input.setAttribute('aria-invalid', 'true'); write(told, lengths.ask(3)); } else change(typed === undefined ? rest : { ...rest, [key]: typed });
    });
    return h('label', { class: 'with-box' }, `${words} `, input, ` ${lengths.unit}`);
  };
  return h('span', { class: 'zone-stack' }, kind, size('width_mm', corner ? 'radius' : 'width', lengths.show(3)), !corner && size('height_mm', 'height', 'as the stack'), told);
}
