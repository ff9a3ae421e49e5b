// One entry of the ticket: label above, unit inside, hint or problem beneath; what is typed is kept as typed.
import { h, idFor, write } from './dom.js';
import { get } from './path.js';

/**
 * What an entry can be shown: the plan, and the sentences that belong to its places.
 * @typedef {{ plan: any, problems: Map<string, string> }} State
 * @typedef {{ el: HTMLElement, path: string, label: string, focus: () => void, update: (state: State) => void }} Entry
 */

/** Hint and problem share one place under the entry. */
function underneath(id) {
  const el = h('p', { class: 'under', id: `${id}-under` });
  return {
    el,
    show(control, hint, problem) {
      el.classList.toggle('problem', Boolean(problem));
      write(el, problem ?? hint ?? '');
      if (problem) control.setAttribute('aria-invalid', 'true');
      else control.removeAttribute('aria-invalid');
    },
  };
}

const clock = (iso) => {
  const at = new Date(iso);
  return Number.isNaN(at.getTime()) ? '' : new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' }).format(at);
};

/**
 * A number. Text that cannot be used stays in the plan as text, so that nothing typed is lost.
 * @param {any} app
 * @param {{ path: string, key?: string, label: string, hint: string, unit: string, usual?: string | null, now?: boolean, count?: boolean }} spec
 * @returns {Entry}
 */
export function numberEntry(app, { path, key = path, label, hint, unit, usual = null, now = false, count = false }) {
  const id = idFor(path);
  const under = underneath(id);
  const input = h('input', {
    id, type: 'text', inputmode: count ? 'numeric' : 'decimal', autocomplete: 'off', spellcheck: 'false',
    'aria-describedby': `${id}-under`,
  });
  // What the plan held after the last keystroke here: while it still holds that, the text stays as typed.
  let mine;
  let told = null;

  function take(text) {
    const read = readTyped(app, key, text, unit);
    told = read.sentence;
    mine = JSON.stringify(read.value);
    app.set(path, read.value);
  }
  input.addEventListener('input', () => take(input.value));

  const parts = [input];
  if (unit) parts.push(h('span', { class: 'unit', id: `${id}-unit` }, unit));
  if (unit) input.setAttribute('aria-describedby', `${id}-unit ${id}-under`);
  if (count) {
    const step = (by, sign, word) => h('button', {
      type: 'button', class: 'step', 'aria-label': `${word}: ${label}`,
      on: { click() { input.value = String(Math.max(1, (Number.parseInt(input.value, 10) || 0) + by)); take(input.value); } },
    }, sign);
    parts.unshift(step(-1, '−', 'One fewer'));
    parts.push(step(1, '+', 'One more'));
  }
  if (now) {
    parts.push(h('button', {
      type: 'button', class: 'now', 'aria-label': `Now: note the time of ${label}`, on: { click: () => app.stamp(path) },
    }, 'now'));
  }
  const el = h('div', { class: `entry${count ? ' counted' : ''}` },
    h('label', { for: id }, label), h('div', { class: 'well' }, ...parts), under.el);

  return {
    el, path, label,
    focus: () => input.focus({ preventScroll: true }),
    update({ plan, problems }) {
      const value = get(plan, path);
      const held = JSON.stringify(value);
      if (held !== mine) {
        input.value = shown(app, key, value);
        mine = held;
        told = null;
      }
      const stamp = plan.stamps?.[path];
      const rest = value === undefined
        ? (usual ? `usual: ${usual}, nothing typed` : hint && `for example ${hint}`)
        : spread(app, key, value) ?? (hint && `for example ${hint}`);
      const read = stamp && clock(stamp);
      under.show(input, [rest, read && `read ${read}`].filter(Boolean).join('; '), told ?? problems.get(path));
    },
  };
}

/** Typed text as a metric value, or as the text itself with the sentence that says what to do. */
export function readTyped(app, key, text, unit) {
  if (!text.trim()) return { value: undefined, sentence: null };
  const read = app.core.read_entry(key, text, app.units);
  if (!read.problem) return { value: read.value, sentence: null };
  // A bare number kept as text would be read as metric; its unit keeps it what the reader meant.
  const meant = app.units === 'us' && unit && /[0-9]\s*$/.test(text) ? `${text.trim()} ${unit}` : text;
  return { value: meant, sentence: read.problem.sentence };
}

/** The text of an entry for what the plan holds. */
export function shown(app, key, value) {
  if (value === undefined || value === null) return '';
  if (typeof value === 'object') return value.likely === undefined ? '' : shown(app, key, value.likely);
  return typeof value === 'number' ? app.core.show_entry(key, value, app.units) : String(value);
}

function spread(app, key, value) {
  if (value === null || typeof value !== 'object') return null;
  return `kept with its own range, ${shown(app, key, value.low)} to ${shown(app, key, value.high)}`;
}

/**
 * One of a few words. `groups` holds lists with a heading; the first option may stand for nothing chosen.
 * @returns {Entry}
 */
export function choiceEntry(app, { path, label, hint = '', groups, usual }) {
  const id = idFor(path);
  const under = underneath(id);
  const select = h('select', { id, 'aria-describedby': `${id}-under` });
  select.addEventListener('change', () => {
    const before = get(app.plan, path);
    app.set(path, select.value || undefined);
    if (before !== null && typeof before === 'object') {
      app.say('What was written out in this plan is no longer used.', { undo: () => app.set(path, before) });
    }
  });
  const el = h('div', { class: 'entry' }, h('label', { for: id }, label), h('div', { class: 'well' }, select), under.el);
  let filled = '';
  return {
    el, path, label,
    focus: () => select.focus({ preventScroll: true }),
    update({ plan, problems }) {
      const value = get(plan, path);
      const chosen = typeof value === 'string' ? value : usual;
      const lists = groups(value);
      const now = JSON.stringify(lists);
      if (now !== filled) {
        filled = now;
        select.replaceChildren(...lists.flatMap(({ heading, options }) => {
          const made = options.map(({ word, label: text }) => h('option', { value: word }, text));
          return heading ? [h('optgroup', { label: heading }, ...made)] : made;
        }));
      }
      const known = lists.some(({ options }) => options.some(({ word }) => word === chosen));
      if (!known && chosen && typeof value === 'string') {
        // Kept as it is: a word this page does not know, or a material that is no longer on the shelf.
        select.append(h('option', { value: chosen }, chosen));
        filled = '';
      }
      select.value = value !== null && typeof value === 'object' ? WRITTEN : chosen ?? '';
      under.show(select, hint, problems.get(path));
    },
  };
}

/** The option that stands for a material written out in the plan itself. */
export const WRITTEN = '(written in this plan)';

/** Yes or no. @returns {Entry} */
export function switchEntry(app, { path, label, usual, hint = '' }) {
  const id = idFor(path);
  const under = underneath(id);
  const box = h('input', { id, type: 'checkbox', 'aria-describedby': `${id}-under` });
  box.addEventListener('change', () => app.set(path, box.checked));
  return {
    el: h('div', { class: 'entry switch' }, h('label', { for: id }, box, h('span', {}, label)), under.el),
    path, label,
    focus: () => box.focus({ preventScroll: true }),
    update({ plan, problems }) {
      const value = get(plan, path);
      box.checked = typeof value === 'boolean' ? value : usual;
      under.show(box, hint, problems.get(path));
    },
  };
}

/** Words. @returns {Entry} */
export function textEntry(app, { path, label, hint = '', className = '', long = false }) {
  const id = idFor(path);
  const under = underneath(id);
  const input = long
    ? h('textarea', { id, rows: 3, maxlength: 2000, 'aria-describedby': `${id}-under` })
    : h('input', { id, type: 'text', autocomplete: 'off', maxlength: 200, 'aria-describedby': `${id}-under` });
  input.addEventListener('input', () => app.set(path, input.value === '' ? undefined : input.value));
  return {
    el: h('div', { class: `entry ${className}` }, h('label', { for: id }, label), h('div', { class: 'well' }, input), under.el),
    path, label,
    focus: () => input.focus({ preventScroll: true }),
    update({ plan, problems }) {
      const value = get(plan, path);
      if (document.activeElement !== input || input.value.trim() !== String(value ?? '').trim()) {
        const text = value === undefined ? '' : String(value);
        if (input.value !== text) input.value = text;
      }
      under.show(input, hint, problems.get(path));
    },
  };
}
