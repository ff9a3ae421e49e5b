// Keeps what only the whole sheet has in view while the next one is worked out.

/** Stages whose notes come with the whole sheet. */
const DEEP = new Set(['suit', 'stack']);

/** Those of a list whose key is not in another. */
const missing = (old, now, key) => old.filter((one) => !now.some((other) => other[key] === one[key]));

/**
 * A first sheet with the deeper parts of the one before it, until they are worked out anew.
 * @param {any} now
 * @param {any} old
 */
export function withOld(now, old) {
  const stack = Object.fromEntries(Object.entries(now.stack).map(([name, value]) => [name, value ?? old.stack[name]]));
  const said = new Set(now.notes.map(({ sentence }) => sentence));
  return {
    ...now,
    suit: old.suit,
    stack,
    notes: [...now.notes, ...old.notes.filter(({ stage, sentence }) => DEEP.has(stage) && !said.has(sentence))],
    inputs: [...now.inputs, ...missing(old.inputs, now.inputs, 'key')],
    sources: [...now.sources, ...missing(old.sources, now.sources, 'key')],
  };
}
