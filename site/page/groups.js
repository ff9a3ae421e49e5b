// The lists of materials and tools to choose from, and the buttons that open the place for the shop's own.
import { WRITTEN } from './entry.js';
import { h, idFor } from './dom.js';

/** The kinds that a shop writes itself. */
const ONE = { fabrics: 'cloth', cores: 'core', resins: 'resin', tools: 'tool' };

/** The options of one table, own entries first, cloths by fibre, cores last; `value` is what the plan holds. */
export function groupsOf(shelf, table, value) {
  const groups = new Map();
  const add = (heading, word, label) => groups.set(heading, [...(groups.get(heading) ?? []), { word, label }]);
  if (value !== null && typeof value === 'object') add('In this plan', WRITTEN, value.name || 'written out in this plan');
  const fibres = new Map((shelf.fibres ?? []).map(({ key, name }) => [key, name]));
  const heading = (item) => {
    if (item.kind === 'core') return 'Cores';
    return fibres.get(item.fibre) ?? (table === 'fabrics' ? 'Cloths' : 'From the shelf');
  };
  // A cloth that is offered no more shows in the plans that name it.
  const items = (shelf[table] ?? []).filter(({ gone, key }) => !gone || key === value);
  for (const item of items.filter(({ own }) => own)) add('Your own', item.key, item.name);
  for (const item of items.filter(({ own, kind }) => !own && kind !== 'core')) add(heading(item), item.key, item.name);
  for (const item of items.filter(({ own, kind }) => !own && kind === 'core')) add('Cores', item.key, item.name);
  return [...groups].map(([name, options]) => ({ heading: name, options }));
}

/** A button that opens the place where an own material is written. */
export function ownButton(app, kind, path) {
  const id = `own-${idFor(path)}-${kind}`;
  const place = h('div', { class: 'own-place', id, hidden: true });
  const button = h('button', { type: 'button', class: 'quiet', 'aria-expanded': 'false', 'aria-controls': id }, `Your own ${ONE[kind]}`);
  const close = () => { place.hidden = true; place.replaceChildren(); button.setAttribute('aria-expanded', 'false'); };
  button.addEventListener('click', () => {
    if (!place.hidden) return close();
    return app.bring('materials', ({ editor }) => {
      place.hidden = false;
      button.setAttribute('aria-expanded', 'true');
      const done = () => { close(); button.focus(); };
      place.replaceChildren(...editor(app, kind, path, id, done));
    });
  });
  return h('div', { class: 'own' }, button, place);
}
