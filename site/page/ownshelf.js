// Makes a plan independent of any shelf, and has it follow its entries when they come under other keys.
import { isRecord } from './json.js';

export { join, tables } from './join.js';

/**
 * The plan with the keys that `join` gave to what it uses.
 * @param {Record<string, any>} plan
 * @param {Map<string, string>} moved
 */
export function renamed(plan, moved) {
  return swapped(plan, (table, key) => moved.get(`${table}.${key}`));
}

/**
 * The plan with entries of the shop's own shelf written out in full, so that it works on any other device.
 * @param {Record<string, any>} plan
 * @param {unknown} own
 */
export function standalone(plan, own) {
  return swapped(plan, (table, key) => (isRecord(own) && isRecord(own[table]) && Object.hasOwn(own[table], key)
    ? structuredClone(own[table][key]) : undefined));
}

/**
 * @param {Record<string, any>} plan
 * @param {(table: string, key: string) => any} find
 */
function swapped(plan, find) {
  const copy = structuredClone(plan);
  const swap = (/** @type {any} */ at, /** @type {string} */ field, /** @type {string} */ table) => {
    if (isRecord(at) && typeof at[field] === 'string') at[field] = find(table, at[field]) ?? at[field];
  };
  for (const of of [copy, ...(Array.isArray(copy.fill?.zones) ? copy.fill.zones : [])]) {
    if (Array.isArray(of?.stack)) of.stack.forEach((/** @type {any} */ row) => swap(row, 'fabric', 'fabrics'));
  }
  swap(copy, 'resin', 'resins');
  swap(copy.trim, 'tool', 'tools');
  return copy;
}
