// Joins two own shelves without losing an entry of either.
import { canonical, isRecord } from './json.js';

/** The tables of an own shelf. */
export const tables = ['fibres', 'weaves', 'fabrics', 'resins', 'tools', 'sundries'];

/**
 * Lays `incoming` beside `ours`: what is new comes in, what differs comes in under a new key, what is the same stays.
 * @param {unknown} ours
 * @param {unknown} incoming
 * @returns {{ own: Record<string, any>, moved: Map<string, string>, added: number, beside: string[], kept: string[] }}
 *   `moved` maps `table.key` of the incoming shelf to its key here; `beside` and `kept` name what differed.
 */
export function join(ours, incoming) {
  /** @type {Record<string, any>} */
  const own = { format: 1, ...(isRecord(ours) ? structuredClone(ours) : {}) };
  const moved = new Map();
  const beside = [];
  const kept = [];
  let added = 0;
  for (const table of tables) {
    const rows = isRecord(incoming) && isRecord(incoming[table]) ? incoming[table] : {};
    for (const [key, row] of Object.entries(rows)) {
      own[table] = isRecord(own[table]) ? own[table] : {};
      const here = place(own[table], key, row);
      if (here !== key) {
        moved.set(`${table}.${key}`, here);
        if (!Object.hasOwn(own[table], here)) beside.push(String(row?.name ?? key));
      }
      if (!Object.hasOwn(own[table], here)) {
        own[table][here] = row;
        added += 1;
      }
    }
  }
  // What is not there yet comes in, what differs stays as it is here; `deep` records down, each is joined by itself.
  const takeIn = (/** @type {any} */ ours, /** @type {any} */ theirs, name = '', deep = 0, here = (/** @type {string} */ key) => key) => {
    for (const [key, value] of Object.entries(theirs)) {
      const at = here(key);
      if (!Object.hasOwn(ours, at)) {
        ours[at] = value;
        added += 1;
      } else if (deep && isRecord(ours[at]) && isRecord(value)) takeIn(ours[at], value, `${name}${at}.`, deep - 1);
      else if (canonical(ours[at]) !== canonical(value)) kept.push(name + at);
    }
  };
  const record = (/** @type {any} */ at, /** @type {string} */ name) => (at[name] = isRecord(at[name]) ? at[name] : {});
  const { learned, stock } = isRecord(incoming) ? incoming : /** @type {any} */ ({});
  if (isRecord(learned)) {
    const { cloths, ...others } = learned;
    takeIn(record(own, 'learned'), others);
    if (isRecord(cloths)) takeIn(record(own.learned, 'cloths'), cloths, 'learned.cloths.', 1, (key) => moved.get(`fabrics.${key}`) ?? key);
  }
  if (isRecord(stock)) takeIn(record(own, 'stock'), stock, 'stock.', 0, (key) => moved.get(`fabrics.${key}`) ?? moved.get(`resins.${key}`) ?? key);
  // The rest: the name of the money, what is half typed, and what a newer page may have written.
  if (isRecord(incoming)) {
    const known = new Set(['format', 'learned', 'stock', ...tables]);
    takeIn(own, Object.fromEntries(Object.entries(incoming).filter(([key, value]) => !known.has(key) && value !== null)), '', 1);
  }
  return { own, moved, added, beside, kept };
}

/**
 * The key under which `row` is, or can come, into `rows`.
 * @param {Record<string, any>} rows
 * @param {string} key
 * @param {any} row
 */
function place(rows, key, row) {
  const text = canonical(row);
  for (let count = 1; ; count += 1) {
    const name = count === 1 ? key : `${key}_${count}`;
    if (!Object.hasOwn(rows, name) || canonical(rows[name]) === text) return name;
  }
}
