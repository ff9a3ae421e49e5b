// An entry for a day and a time of day, as the clock on the wall of the shop shows it.
import { h, idFor, write } from './dom.js';
import { get } from './path.js';

/** @param {Date} at As a plan writes it: no zone, to the minute. */
export const asMoment = (at) => {
  const two = (/** @type {number} */ number) => String(number).padStart(2, '0');
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}T${two(at.getHours())}:${two(at.getMinutes())}`;
};

/** @returns {import('./entry.js').Entry} */
export function momentEntry(app, { path, label, hint = '' }) {
  const id = idFor(path);
  const input = h('input', { id, type: 'datetime-local', 'aria-describedby': `${id}-under` });
  const under = h('p', { class: 'under', id: `${id}-under` });
  let problem;
  function tell() {
    const held = get(app.plan, path);
    const half = input.validity.badInput && document.activeElement !== input ? 'Type both the day and the time.' : '';
    // What a browser cannot show here stays in the plan until something else is typed.
    const kept = held && !input.value && !input.validity.badInput && document.activeElement !== input ? `the plan says "${held}"` : '';
    const said = half || problem;
    under.classList.toggle('problem', Boolean(said));
    write(under, said || kept || hint);
    if (said) input.setAttribute('aria-invalid', 'true');
    else input.removeAttribute('aria-invalid');
  }
  input.addEventListener('input', () => app.set(path, input.value === '' ? undefined : input.value.slice(0, 16)));
  input.addEventListener('blur', tell);
  return {
    el: h('div', { class: 'entry' }, h('label', { for: id }, label), h('div', { class: 'well' }, input), under),
    path, label,
    focus: () => input.focus({ preventScroll: true }),
    update({ plan, problems }) {
      problem = problems.get(path);
      const text = String(get(plan, path) ?? '').slice(0, 16);
      // While somebody types, a moment is half there and reads as none.
      if (input.value !== text && document.activeElement !== input && !(input.validity.badInput && !text)) input.value = text;
      tell();
    },
  };
}
