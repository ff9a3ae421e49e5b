// Keeps what only the whole sheet has in view while the next one is worked out.

/** Stages whose notes come with the whole sheet; those of drying come with both, and are not mixed. */
const DEEP = new Set(['suit', 'stack', 'bag', 'dry']);

/** Those of a list whose key is not in another. */
const missing = (old, now, key) => old.filter((one) => !now.some((other) => other[key] === one[key]));

/**
 * A first sheet with the deeper parts of the one before it, until they are worked out anew.
 * @param {any} now
 * @param {any} old
 */
export function withOld(now, old) {
  const filled = (stage) => Object.fromEntries(Object.entries(now[stage]).map(([name, value]) => [name, value === null || value.length === 0 ? old[stage][name] : value]));
  const notes = now.notes.filter(({ stage }) => stage !== 'dry');
  const said = new Set(notes.map(({ sentence }) => sentence));
  return {
    ...now,
    suit: old.suit,
    stack: filled('stack'),
    bag: old.bag,
    dry: filled('dry'),
    notes: [...notes, ...old.notes.filter(({ stage, sentence }) => DEEP.has(stage) && !said.has(sentence))],
    inputs: [...now.inputs, ...missing(old.inputs, now.inputs, 'key')],
    sources: [...now.sources, ...missing(old.sources, now.sources, 'key')],
  };
}
