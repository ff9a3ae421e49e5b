// The rows of the stack, from the mould up: cloth or core, how many plies, at what angle.
import { entryFor } from './asked.js';
import { h } from './dom.js';
import { numberEntry } from './entry.js';
import { copyOf } from './path.js';

const NEW_ROW = { fabric: 'flax_twill_300', count: 1, angle_deg: 0 };

/**
 * @returns {{ el: HTMLElement, find: (path: string) => import('./entry.js').Entry | null, update: (state: import('./entry.js').State) => void }}
 */
export function stackRows(app) {
  const list = h('ol', { class: 'rows' });
  const add = h('button', { type: 'button', class: 'quiet', on: { click: () => change((stack) => { stack.push(copyOf(stack.at(-1) ?? NEW_ROW)); }, 'last') } }, 'Add a cloth or core');
  const under = h('p', { class: 'under', id: 'at-stack-under' });
  const el = h('fieldset', { class: 'stack', 'aria-describedby': 'at-stack-under' },
    h('legend', {}, 'Cloth, from the mould up'), list, under, h('p', { class: 'buttons' }, add, app.ownButton('fabrics', 'stack'), app.ownButton('cores', 'stack')));
  /** @type {import('./entry.js').Entry[][]} */
  let entries = [];

  const stackNow = () => (Array.isArray(app.plan.stack) ? app.plan.stack : []);

  function change(edit, focus) {
    const stack = copyOf(stackNow());
    edit(stack);
    app.set('stack', stack);
    app.workNow();
    const at = focus === 'last' ? stack.length - 1 : Math.min(focus, stack.length - 1);
    if (entries[at]) entries[at][0].focus();
    else add.focus();
  }

  function remove(at) {
    const before = copyOf(stackNow());
    change((stack) => { stack.splice(at, 1); }, at);
    app.say(`Row ${at + 1} of the stack is removed.`, { undo: () => app.set('stack', before) });
  }

  function row(at, count) {
    const path = `stack.${at}`;
    const [fabric, plies, angle] = ['fabric', 'count', 'angle_deg'].map((name) => app.asked.get(`stack.${name}`));
    // A row begins with something chosen: what is not there is not called usual.
    const cloth = entryFor(app, { ...fabric, label: count > 1 ? `${fabric.label} ${at + 1}` : fabric.label, usual: '' }, `${path}.fabric`);
    const number = numberEntry(app, { ...plies, hint: '', path: `${path}.count`, count: true });
    const turned = entryFor(app, { ...angle, hint: '' }, `${path}.angle_deg`);
    entries.push([cloth, number, turned]);
    const tools = count > 1 && h('p', { class: 'buttons' },
      at > 0 && h('button', { type: 'button', class: 'quiet', on: { click: () => change((stack) => { stack.splice(at - 1, 0, ...stack.splice(at, 1)); }, at - 1) }, 'aria-label': `Move cloth ${at + 1} towards the mould` }, 'Towards the mould'),
      h('button', { type: 'button', class: 'quiet', on: { click: () => remove(at) }, 'aria-label': `Remove cloth ${at + 1}` }, 'Remove'));
    return h('li', { class: 'row' }, cloth.el, h('div', { class: 'pair' }, number.el, turned.el), tools);
  }

  return {
    el,
    find(path) {
      const own = entries.flat().find((entry) => entry.path === path);
      if (own) return own;
      const [, at] = /^stack\.(\d+)/.exec(path) ?? [];
      return entries[Number(at)]?.[0] ?? (path === 'stack' ? entries[0]?.[0] : null) ?? null;
    },
    update(state) {
      const { length } = stackNow();
      if (entries.length !== length) {
        entries = [];
        list.replaceChildren(...stackNow().map((_, at) => row(at, length)));
      }
      const problem = state.problems.get('stack');
      under.textContent = problem ?? '';
      under.classList.toggle('problem', Boolean(problem));
      for (const entry of entries.flat()) entry.update(state);
    },
  };
}
