// Keeps what only the whole sheet has in view while the next one is worked out.

/** Stages whose notes come with the whole sheet. */
const DEEP = new Set(['suit', 'stack', 'bag', 'dry', 'mix', 'cure', 'day']);
/** Stages of which both sheets have notes; they are not mixed. */
const BOTH = new Set(['dry', 'mix', 'cure']);

/** Those of a list whose key is not in another. */
const missing = (old, now, key) => old.filter((one) => !now.some((other) => other[key] === one[key]));

/**
 * A first sheet with the deeper parts of the one before it, until they are worked out anew.
 * @param {any} now
 * @param {any} old
 */
export function withOld(now, old) {
  const filled = (stage) => Object.fromEntries(Object.entries(now[stage]).map(([name, value]) => [name, value === null || value.length === 0 ? old[stage][name] : value]));
  const notes = now.notes.filter(({ stage }) => !BOTH.has(stage));
  const said = new Set(notes.map(({ sentence }) => sentence));
  // Heat and oven decide when the part comes off; without them the figure would flicker.
  const set = now.cure && old.cure && old.setting;
  return {
    ...now,
    suit: old.suit,
    stack: filled('stack'),
    bag: old.bag,
    dry: filled('dry'),
    pots: old.pots,
    // The vessel in hand decides how many pots, and how soon they are past their use.
    mix: old.pots ? old.mix : now.mix,
    cure: set ? old.cure : now.cure,
    setting: old.setting,
    day: old.day,
    strip: set ? now.strip.map((item) => (item.stage === 'cure' && old.strip.find(({ stage }) => stage === 'cure')) || item) : now.strip,
    notes: [...notes, ...old.notes.filter(({ stage, sentence }) => DEEP.has(stage) && !said.has(sentence))],
    inputs: [...now.inputs, ...missing(old.inputs, now.inputs, 'key')],
    sources: [...now.sources, ...missing(old.sources, now.sources, 'key')],
  };
}
