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
  for (const [key, value] of Object.entries(learned)) {
    own.learned = isRecord(own.learned) ? own.learned : {};
    if (!Object.hasOwn(own.learned, key)) {
      own.learned[key] = value;
      added += 1;
    } else if (canonical(own.learned[key]) !== canonical(value)) kept.push(key);
  }
  const stocked = isRecord(incoming) && isRecord(incoming.stock) ? incoming.stock : {};
  for (const [key, row] of Object.entries(stocked)) {
    own.stock = isRecord(own.stock) ? own.stock : {};
    const here = moved.get(`fabrics.${key}`) ?? moved.get(`resins.${key}`) ?? key;
    if (!Object.hasOwn(own.stock, here)) {
      own.stock[here] = row;
      added += 1;
    } else if (canonical(own.stock[here]) !== canonical(row)) kept.push(`stock.${here}`);
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
