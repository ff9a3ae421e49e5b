// The list of plans: open, new, copy, delete with undo, export and import, share, carry to another device, print.
import { h } from './dom.js';
import * as door from './door.js';
import { carryOver, exportAside, exportPlan, exportShop, readFile } from './files.js';
import { linkFor } from './share.js';
import { copyName, nameOf } from './storewords.js';

/** Plans that come with the page. */
const EXAMPLES = [
  { file: 'hive_roof.json', name: 'Hive roof' }, { file: 'paddle_blade.json', name: 'Paddle blade' }, { file: 'stall_counter.json', name: 'Stall counter' },
  { file: 'hive_stand.json', name: 'Hive stand, on cork' }, { file: 'nucleus_box_lid.json', name: 'Box lid, glass outside' },
];

const day = (iso) => {
  const at = new Date(iso);
  return Number.isNaN(at.getTime()) ? '' : new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' }).format(at);
};

/**
 * @param {any} app
 * @param {HTMLElement} place
 * @param {HTMLButtonElement} button Tells whether the place is open.
 */
export function plansView(app, place, button) {
  app.door = door;
  const list = h('ul', { class: 'plans' });
  const standing = h('p', { class: 'standing' });
  const lost = h('p', {});
  const asides = h('ul', { class: 'plans' });
  const apart = h('details', { hidden: true }, h('summary', {}, 'Set aside: what could not be read'), asides);
  const link = h('input', { id: 'share-link', type: 'text', readonly: true, on: { focus: () => link.select() } });
  const linkPlace = h('div', { class: 'entry', hidden: true },
    h('label', { for: 'share-link' }, 'Link to this plan'), h('div', { class: 'well' }, link),
    h('p', { class: 'under' }, 'The plan stands in the link itself, behind the #; no server sees it.'));
  const file = h('input', { type: 'file', accept: '.json,.txt,application/json,text/plain', id: 'plan-file', class: 'file' });
  const act = (label, go, quiet = true) => h('button', { type: 'button', class: quiet ? 'quiet' : 'main', on: { click: go } }, label);

  file.addEventListener('change', async () => {
    const [chosen] = file.files ?? [];
    if (!chosen) return;
    app.flush();
    const { plans, own, sentences } = await readFile(chosen, app.store, app.core);
    file.value = '';
    if (own) app.takeOwn(own);
    const [first] = plans;
    if (first) app.open(first.id);
    app.say(sentences.join(' '));
    refresh();
  });

  async function share() {
    app.flush();
    const address = await linkFor(app.plan, app.own);
    linkPlace.hidden = false;
    link.value = address;
    try {
      if (navigator.share) {
        await navigator.share({ title: app.plan.name || 'Bastwork', url: address });
        return;
      }
      await navigator.clipboard.writeText(address);
      app.say('The link is copied. Paste it into a message.');
    } catch {
      link.focus();
    }
  }

  place.append(
    h('h2', {}, 'Plans'), list, lost, apart,
    h('div', { class: 'buttons' },
      act('New plan', () => { app.begin(); close(); }, false),
      act('Copy this plan', copy),
      act('Print the ticket', () => { close(); window.print(); })),
    h('h3', {}, 'Examples'),
    h('div', { class: 'buttons' }, ...EXAMPLES.map(({ file: at, name }) => act(name, () => example(at)))),
    h('h3', {}, 'Take plans along'),
    h('div', { class: 'buttons' },
      act('Share as a link', share),
      act('Export this plan', () => { app.flush(); app.say(exportPlan(app.plan, app.own).sentence); }),
      act('Export everything', () => { app.flush(); app.say(exportShop(app.store).sentence); refresh(); }),
      act('Hand on to another device', async () => { app.flush(); app.say((await carryOver(app.store)).sentence); refresh(); }),
      h('label', { for: 'plan-file', class: 'quiet button' }, 'Open a file', file)),
    linkPlace, standing,
    h('div', { class: 'buttons' }, h('a', { class: 'quiet button', href: new URL('licences.txt', import.meta.url).href, target: '_blank' }, 'What Bastwork is made of, and the licences')));

  async function example(at) {
    try {
      const answer = await fetch(`examples/${at}`);
      if (!answer.ok) throw new Error(answer.statusText);
      app.take(await answer.json());
      close();
    } catch {
      app.say('The example could not be loaded. Try again with a network.');
    }
  }

  function copy() {
    app.take({ ...app.plan, name: copyName(nameOf(app.plan), app.store.plans()) });
    app.say(`This is the copy now: "${app.plan.name}".`);
    refresh();
  }

  function remove(id) {
    app.flush();
    const { sentence, undo } = app.store.remove(id);
    if (id === app.plan.id) {
      const [next] = app.store.plans();
      app.bench(next ? app.store.plan(next.id) : app.empty());
    }
    app.say(sentence, { undo() { const { id: restored } = undo() ?? {}; if (restored) app.open(restored); refresh(); } });
  }

  /** The focus goes on where something is left to press. */
  const toFirst = () => (list.querySelector('button') ?? place.querySelector('button.main'))?.focus();

  function row({ id, name, saved }) {
    const here = id === app.plan.id;
    return h('li', {},
      h('button', { type: 'button', class: 'open', 'aria-current': here ? 'true' : null, on: { click() { app.open(id); close(); } } },
        h('span', { class: 'name' }, name), h('span', { class: 'when' }, here ? 'on the bench now' : day(saved))),
      h('button', { type: 'button', class: 'quiet', 'aria-label': `Delete ${name}`, on: { click() { remove(id); refresh(); toFirst(); } } }, 'Delete'));
  }

  /** Something set aside: where it was, why it was left out, and its text as a file. */
  function asideRow({ slot, key, set_aside: when, text, why }) {
    const name = /"name":\s*"([^"\\]{1,80})"/.exec(text)?.[1];
    const where = key.startsWith('bastwork.plan.') ? `Plan${name ? ` "${name}"` : ''}` : key.startsWith('own.') ? `Own shelf: ${name ?? key.split('.').at(-1)}` : name ?? 'From a file';
    const drop = () => {
      const undo = app.store.dropAside(slot);
      app.say(`What was set aside (${where}) is deleted.`, { undo() { undo(); refresh(); } });
      refresh();
      toFirst();
    };
    return h('li', {}, h('span', {}, h('span', { class: 'name' }, where), ' ', h('span', { class: 'when' }, why || day(when))),
      h('button', { type: 'button', class: 'quiet', 'aria-label': `Export what was set aside: ${where}`, on: { click: () => app.say(exportAside({ text }).sentence) } }, 'Export'),
      h('button', { type: 'button', class: 'quiet', 'aria-label': `Delete what was set aside: ${where}`, on: { click: drop } }, 'Delete'));
  }

  function refresh() {
    if (place.hidden) return;
    const left = app.store.asides();
    apart.hidden = left.length === 0;
    asides.replaceChildren(...left.map(asideRow));
    const kept = app.store.plans().map(row);
    list.replaceChildren(...(kept.length ? kept : [h('li', { class: 'none' }, 'Nothing is kept yet: a plan is kept as soon as you change it.')]));
    const bin = app.store.bin();
    lost.replaceChildren(...(bin ? [`"${bin.name}" was deleted on ${day(bin.removed)}. `,
      h('button', { type: 'button', class: 'link', on: { click() { bin.undo(); refresh(); toFirst(); } } }, 'Bring it back')] : []));
    standing.textContent = [app.store.standing().sentence, app.store.where()].filter((sentence, at, all) => sentence && all.indexOf(sentence) === at).join(' ');
  }

  function close() {
    place.hidden = true;
    button.setAttribute('aria-expanded', 'false');
  }

  function toggle() {
    if (!place.hidden) return close();
    app.flush();
    place.hidden = false;
    button.setAttribute('aria-expanded', 'true');
    return refresh();
  }

  place.addEventListener('keydown', (event) => { if (event.key === 'Escape') { close(); button.focus(); } });
  return { refresh, toggle };
}
