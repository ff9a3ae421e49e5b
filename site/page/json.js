// Reads and compares JSON that may come from anyone: never throws, and no key of it can reach a prototype.

/** Most bytes that one plan may take, in a link or a file. */
export const planBytes = 256 * 1024;

/** How deep a document may nest; ours need six. */
const deepest = 24;

const barred = new Set(['__proto__', 'constructor', 'prototype']);

/**
 * @param {unknown} value
 * @returns {value is Record<string, any>}
 */
export function isRecord(value) {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/**
 * What the text holds, or undefined when it is not JSON or nests without end.
 * @param {unknown} text
 * @returns {any}
 */
export function readJson(text) {
  if (typeof text !== 'string') return undefined;
  try {
    return cleaned(JSON.parse(text));
  } catch {
    return undefined;
  }
}

/**
 * A copy of what JSON gave, without keys that reach a prototype; undefined when it nests without end. A number too large to be one stays
 * as text, since JSON would write it as nothing.
 * @param {unknown} value
 * @returns {any}
 */
export function cleaned(value, levels = deepest) {
  if (typeof value === 'number' && !Number.isFinite(value)) return String(value);
  if (typeof value !== 'object' || value === null) return value;
  if (levels === 0) return undefined;
  const parts = Object.entries(value).filter(([key]) => !barred.has(key)).map(([key, part]) => [key, cleaned(part, levels - 1)]);
  if (parts.some(([, part]) => part === undefined)) return undefined;
  return Array.isArray(value) ? parts.map(([, part]) => part) : Object.fromEntries(parts);
}

/**
 * The same text for the same content, whatever the order of the keys.
 * @param {unknown} value
 * @returns {string}
 */
export function canonical(value) {
  return JSON.stringify(value, (_, part) => (isRecord(part)
    ? Object.fromEntries(Object.keys(part).sort().map((key) => [key, part[key]])) : part)) ?? '';
}

/**
 * Whether this can be a plan: a document of ours with at least a stack, a part or a resin.
 * @param {unknown} value
 * @returns {value is Record<string, any>}
 */
export function isPlan(value) {
  if (!isRecord(value) || !(value.format === undefined || value.format === 1)) return false;
  return Array.isArray(value.stack) || isRecord(value.part) || (value.format === 1 && value.resin !== undefined);
}
