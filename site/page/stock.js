// Prices and stock of the shop: what each material of this plan costs and how much of it is left.
import { readTyped, shown } from './entry.js';
import { h, write } from './dom.js';
import { groupsOf } from './groups.js';
import { copyOf } from './path.js';

/** Keys of the shelf in this plan, and those the shop has written something down for. */
function keysOf(app) {
  const rows = Array.isArray(app.plan.stack) ? app.plan.stack : [];
  const named = [...rows.map(({ fabric }) => fabric), app.plan.resin ?? 'infusion_epoxy_slow'].filter((key) => typeof key === 'string');
  return [...new Set([...named, ...Object.keys(app.own.stock ?? {}), ...Object.keys(app.own.drafts?.stock ?? {}).map((path) => path.split('.')[0])])]
    .map((key) => ({ key, ...itemOf(app, key) })).filter(({ name }) => name);
}

function itemOf(app, key) {
  for (const table of ['fabrics', 'resins']) {
    const item = app.shelf[table]?.find((one) => one.key === key);
    if (item) return { table, name: item.name, kind: item.kind };
  }
  return {};
}

/** Writes one figure into the own shelf; what cannot be used waits among the drafts and is not lost. */
function keep(app, key, name, value, draft) {
  const own = copyOf(app.own);
  const stock = { ...own.stock };
  const row = { ...stock[key] };
  if (value === undefined) delete row[name];
  else row[name] = value;
  if (Object.keys(row).length) stock[key] = row;
  else delete stock[key];
  if (Object.keys(stock).length) own.stock = stock;
  else delete own.stock;
  const drafts = { ...own.drafts?.stock };
  if (draft === undefined) delete drafts[`${key}.${name}`];
  else drafts[`${key}.${name}`] = draft;
  own.drafts = { ...own.drafts, stock: drafts };
  if (!Object.keys(drafts).length) delete own.drafts.stock;
  if (!Object.keys(own.drafts).length) delete own.drafts;
  app.saveOwn(own);
}

function numberPlace(app, item, entry) {
  const name = entry.key.split('.').at(-1);
  const id = `stock-${item.key.replace(/[^a-z0-9_]+/gi, '-')}-${name}`;
  const per = item.table === 'resins' ? 'kg' : 'm²';
  const [label, unit] = name === 'price' ? ['Price', `per ${per}`] : ['Left', per];
  const hint = `for example ${entry.hint}`;
  const under = h('p', { class: 'under', id: `${id}-under` }, hint);
  const held = app.own.stock?.[item.key]?.[name];
  const draft = app.own.drafts?.stock?.[`${item.key}.${name}`];
  const input = h('input', {
    id, type: 'text', inputmode: 'decimal', autocomplete: 'off', 'aria-describedby': `${id}-unit ${id}-under`,
    value: draft ?? shown(app, entry.key, held),
  });
  const tell = (sentence) => {
    write(under, sentence ?? hint);
    under.classList.toggle('problem', Boolean(sentence));
    if (sentence) input.setAttribute('aria-invalid', 'true');
    else input.removeAttribute('aria-invalid');
  };
  if (draft !== undefined) tell(readTyped(app, entry.key, draft, '').sentence);
  input.addEventListener('input', () => {
    const { value, sentence } = readTyped(app, entry.key, input.value, '');
    tell(sentence);
    if (sentence) keep(app, item.key, name, undefined, input.value);
    else keep(app, item.key, name, value, undefined);
  });
  return h('div', { class: 'entry' }, h('label', { for: id }, h('span', { class: 'unseen' }, `${item.name}: `), label),
    h('div', { class: 'well' }, input, h('span', { class: 'unit', id: `${id}-unit` }, unit)), under);
}

/**
 * Lays the form out in `place`.
 * @param {any} app
 * @param {HTMLElement} place
 */
export function stockForm(app, place) {
  const fields = app.core.own_entries('stock', 'metric');
  const list = h('ul', { class: 'stock-list' });
  const there = new Set();
  const add = (item) => {
    if (there.has(item.key)) return null;
    there.add(item.key);
    const line = h('li', {}, h('h4', {}, item.name), h('div', { class: 'pair' }, ...fields.map((entry) => numberPlace(app, item, entry))));
    list.append(line);
    return line;
  };
  for (const item of keysOf(app)) add(item);

  const currency = h('input', { id: 'stock-currency', type: 'text', maxlength: 6, autocomplete: 'off', value: app.own.currency ?? '', 'aria-describedby': 'stock-currency-under' });
  currency.addEventListener('input', () => {
    const own = copyOf(app.own);
    if (currency.value.trim()) own.currency = currency.value.trim();
    else delete own.currency;
    app.saveOwn(own);
  });

  const more = h('select', { id: 'stock-more' }, h('option', { value: '' }, 'choose'),
    ...['fabrics', 'resins'].flatMap((table) => groupsOf(app.shelf, table, undefined).map(({ heading, options }) => h('optgroup', { label: table === 'resins' ? `Resins: ${heading}` : heading },
      ...options.map(({ word, label }) => h('option', { value: word }, label))))));
  more.addEventListener('change', () => {
    const { value: key } = more;
    more.value = '';
    const item = itemOf(app, key);
    if (!item.name) return;
    const line = add({ key, ...item }) ?? list.querySelector(`[id="stock-${key}-price"]`)?.closest('li');
    line?.querySelector('input')?.focus();
  });

  place.replaceChildren(
    h('p', { class: 'read-as' }, 'Kept with your shelf on this device, for every plan. Cost counts what stays in the part.'),
    h('div', { class: 'entries' },
      h('div', { class: 'entry' }, h('label', { for: 'stock-currency' }, 'Your money'), h('div', { class: 'well' }, currency), h('p', { class: 'under', id: 'stock-currency-under' }, 'for example EUR'))),
    list,
    h('div', { class: 'entry' }, h('label', { for: 'stock-more' }, 'Another material'), h('div', { class: 'well' }, more)));
}
