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
  const learned = isRecord(incoming) && isRecord(incoming.learned) ? incoming.learned : {};
  /** Takes in what is not there yet; what differs stays as it is here. */
  const takeIn = (/** @type {Record<string, any>} */ rows, /** @type {string} */ key, /** @type {any} */ value, /** @type {string} */ name) => {
    if (!Object.hasOwn(rows, key)) {
      rows[key] = value;
      added += 1;
    } else if (canonical(rows[key]) !== canonical(value)) kept.push(name);
  };
  for (const [key, value] of Object.entries(learned)) {
    own.learned = isRecord(own.learned) ? own.learned : {};
    const { cloths } = own.learned;
    // What was learned of cloths is joined cloth by cloth, and each by what was learned of it.
    if (key !== 'cloths' || !isRecord(value) || (cloths !== undefined && !isRecord(cloths))) {
      takeIn(own.learned, key, value, key);
      continue;
    }
    for (const [cloth, found] of Object.entries(value)) {
      own.learned.cloths ??= {};
      const here = moved.get(`fabrics.${cloth}`) ?? cloth;
      const known = own.learned.cloths[here];
      if (!isRecord(found) || !isRecord(known)) takeIn(own.learned.cloths, here, found, `learned.cloths.${here}`);
      else for (const [property, figure] of Object.entries(found)) takeIn(known, property, figure, `learned.cloths.${here}.${property}`);
    }
  }
  const stocked = isRecord(incoming) && isRecord(incoming.stock) ? incoming.stock : {};
  for (const [key, row] of Object.entries(stocked)) {
    own.stock = isRecord(own.stock) ? own.stock : {};
    const here = moved.get(`fabrics.${key}`) ?? moved.get(`resins.${key}`) ?? key;
    takeIn(own.stock, here, row, `stock.${here}`);
  }
  if (isRecord(incoming) && typeof incoming.currency === 'string') own.currency ??= incoming.currency;
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
