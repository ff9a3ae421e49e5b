// What the marks of the front tell of the cloth: said in a sentence, kept for a cloth with a tap, forgotten with another.
import { askNewest, keyOf } from './board-ask.js';
import { spread } from './damp.js';
import { h, write } from './dom.js';
import { copyOf } from './path.js';

/** Milliseconds of quiet before the marks are read anew. */
const REST = 200;
const PROPERTY = 'permeability_m2';
const UNIT = 1e-11;

const figure = (value) => (value / UNIT).toFixed(value >= 10 * UNIT ? 0 : value >= UNIT ? 1 : 2);
const rangeOf = (value) => (value !== null && typeof value === 'object' ? value : { low: value, likely: value, high: value });
const isSame = (one, other) => ['low', 'likely', 'high'].every((part) => rangeOf(one)[part] === rangeOf(other)[part]);

/** A permeability and its range, as text. */
export function permeabilityText(value) {
  const { low, likely, high } = rangeOf(value);
  return { text: `${figure(likely)} \u00b7 10\u207b\u00b9\u00b9 m\u00b2`, range: low < high ? `${figure(low)} to ${figure(high)}` : '' };
}

/** What the shop keeps of a cloth's permeability. */
const heldOf = (own, key) => own?.learned?.cloths?.[key]?.[PROPERTY];

/** The shelf with this for a cloth; undefined takes it off, and what is empty then. */
export function withHeld(own, key, value) {
  const next = copyOf(own ?? { format: 1 });
  next.learned ??= {};
  next.learned.cloths ??= {};
  const cloth = { ...next.learned.cloths[key] };
  if (value === undefined) delete cloth[PROPERTY];
  else cloth[PROPERTY] = value;
  next.learned.cloths[key] = cloth;
  if (Object.keys(cloth).length === 0) delete next.learned.cloths[key];
  if (Object.keys(next.learned.cloths).length === 0) delete next.learned.cloths;
  if (Object.keys(next.learned).length === 0) delete next.learned;
  return next;
}

/** Cloths of the stack for which something is kept. */
export function heldFor({ plan, own, shelf }) {
  const keys = [...new Set((Array.isArray(plan.stack) ? plan.stack : []).map((row) => row?.fabric).filter((key) => typeof key === 'string'))];
  return keys.filter((key) => heldOf(own, key) !== undefined)
    .map((key) => ({ key, name: shelf?.fabrics?.find((one) => one.key === key)?.name ?? key, value: heldOf(own, key) }));
}

/** What was told of cloths, without what is kept just so. */
export const unkept = ({ cloths }, own) => cloths.filter(({ key, kept, value }) => {
  const now = heldOf(own, key);
  return now === undefined || !(kept || isSame(now, value));
});

/** @param {any} app @param {{ isOpen: () => boolean }} hooks */
export function learnedPart(app, { isOpen }) {
  const sentence = h('p', { class: 'told', role: 'status' });
  const full = h('dl', {});
  const cloths = h('ul', { class: 'told-cloths' });
  const said = h('div', { hidden: true }, h('h3', {}, 'What they say of your cloth'), sentence, full, cloths);
  const list = h('ul', { class: 'told-cloths' });
  const held = h('div', { hidden: true }, h('h3', {}, 'Kept for this cloth'), list);
  const el = h('div', { class: 'told-marks' }, said, held);
  let [asked, drawn] = ['', ''];
  let timer = 0;
  /** @type {any} */
  let found = null;

  /** Puts a value on the shelf, or takes it off, with a way back to the one before. */
  function put(key, value, words) {
    const before = heldOf(app.own, key);
    app.saveOwn(withHeld(app.own, key, value));
    app.say(words, { undo() { app.saveOwn(withHeld(app.own, key, before)); show(); } });
    show();
    /** @type {HTMLElement | undefined} */ ([...el.querySelectorAll('button')].find((one) => one.dataset.cloth === key))?.focus();
  }

  const row = ({ key, name, text, range }, button) => h('li', {}, h('span', {}, h('strong', {}, name), ' ', spread(text, range)),
    h('button', { type: 'button', 'data-cloth': key, ...button.attributes, on: { click: button.go } }, button.words));

  const clothRow = ({ key, name, value }) => row({ key, name, ...permeabilityText(value) }, {
    words: 'Keep for this cloth', attributes: { class: 'main', 'aria-label': `Keep for this cloth: ${name}` },
    go: () => put(key, value, `${name}: what was watched is kept for this cloth, for every plan.`),
  });
  const heldRow = ({ key, name, value }) => row({ key, name, ...permeabilityText(value) }, {
    words: 'Forget it', attributes: { class: 'quiet', 'aria-label': `Forget it: ${name}` },
    go: () => put(key, undefined, `${name}: what was kept of how resin runs is forgotten.`),
  });

  function show() {
    const keeps = heldFor(app);
    const now = JSON.stringify([found, keeps]);
    if (now === drawn) return;
    drawn = now;
    said.hidden = !found;
    held.hidden = keeps.length === 0;
    list.replaceChildren(...keeps.map(heldRow));
    if (!found) return;
    write(sentence, found.sentence);
    full.replaceChildren(...(found.full ? [h('div', { class: 'cell' }, h('dt', {}, found.full.label), h('dd', {}, spread(found.full.text, found.full.range)))] : []));
    cloths.replaceChildren(...unkept(found, app.own).map(clothRow));
  }

  async function read() {
    const key = keyOf(app.plan, app.own);
    try {
      const answer = await askNewest('learn', app.plan, app.own);
      if (key !== asked) return;
      found = answer?.problems ? { sentence: answer.problems[0].sentence, full: null, cloths: [] } : answer;
    } catch {
      if (key !== asked) return;
      asked = '';
      found = { sentence: 'The part of Bastwork that reads your marks is not on this device yet. Try again with a network.', full: null, cloths: [] };
    }
    show();
  }

  function update() {
    if (!isOpen()) return;
    const key = keyOf(app.plan, app.own);
    if (key !== asked) {
      asked = key;
      clearTimeout(timer);
      timer = setTimeout(() => void read(), REST);
    }
    show();
  }
  return { el, update };
}
