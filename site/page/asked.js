// One entry as the core declares it: a number, a switch, words, a thing from the shelf, a text, or a moment.
import { choiceEntry, numberEntry, switchEntry, textEntry } from './entry.js';
import { groupsOf } from './groups.js';
import { momentEntry } from './moment.js';

/**
 * What the core says of an entry.
 * @typedef {{ key: string, needed: { key: string, words: string[], unless: boolean } | null }} Ruled
 * @typedef {Ruled & { kind: string, label: string, hint: string, unit: string, usual: any, options: { word: string, label: string }[], table: string, read_off: boolean }} Asked
 */

const number = (app, spec) => numberEntry(app, { ...spec, now: spec.read_off });

const MAKE = {
  number,
  count: number,
  switch: switchEntry,
  word: (app, spec) => choiceEntry(app, { ...spec, groups: () => [{ heading: null, options: spec.options }] }),
  shelf: (app, spec) => choiceEntry(app, { ...spec, groups: (value) => groupsOf(app.shelf, spec.table, value) }),
  text: textEntry,
  long_text: (app, spec) => textEntry(app, { ...spec, long: true }),
  moment: momentEntry,
};

/**
 * The entry for what the core asks; what is more than one entry has none here.
 * @param {any} app
 * @param {Asked} asked
 * @param {string} path Its place in the plan, where that is not its key.
 * @returns {import('./entry.js').Entry | undefined}
 */
export const entryFor = (app, asked, path = asked.key) => MAKE[asked.kind]?.(app, { ...asked, path });

/** Whether what the core asks is one entry, and no form of its own. @param {Asked} asked */
export const isOneEntry = ({ kind }) => Object.hasOwn(MAKE, kind);

/** What stands at a path of the plan, through every list on the way. */
const lying = (plan, key) => key.split('.').reduce((places, name) => places.flat().map((place) => place?.[name]), [plan]).flat();

/** Whether the plan has need of an entry. @param {Ruled} asked @param {any} plan */
export function isNeeded({ needed }, plan) {
  return !needed || lying(plan, needed.key).some((one) => needed.words.includes(String(one))) !== needed.unless;
}

/** Everything the core asks, by its key. @returns {Map<string, Asked>} */
export const askedOf = (core, units) => new Map(core.form(units).flatMap(({ entries }) => entries).map((asked) => [asked.key, asked]));
