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
 * @param {boolean} drawn Whether the part is drawn: only the whole sheet fills it as it is.
 */
export function withOld(now, old, drawn = false) {
  const filled = (stage) => Object.fromEntries(Object.entries(now[stage]).map(([name, value]) => [name, value === null || value.length === 0 ? old[stage][name] : value]));
  const keeps = drawn && Boolean(old.fill && now.fill);
  // Heat and oven decide when the part comes off and how soft it is at trimming; without them the figures would flicker.
  const set = now.cure && old.cure && old.setting;
  const whole = (stage) => (keeps && stage === 'fill') || (set && stage === 'trim');
  const deep = (stage) => DEEP.has(stage) || whole(stage);
  const notes = now.notes.filter(({ stage }) => !BOTH.has(stage) && !whole(stage));
  const said = new Set(notes.map(({ sentence }) => sentence));
  const held = (stage) => (stage === 'cure' && set) || (stage === 'fill' && keeps);
  return {
    ...now,
    suit: old.suit,
    stack: filled('stack'),
    bag: old.bag,
    dry: filled('dry'),
    pots: old.pots,
    // The vessel in hand decides how many pots, and how soon they are past their use.
    mix: old.pots ? old.mix : now.mix,
    fill: keeps ? old.fill : now.fill && { ...now.fill, stalled: old.fill?.stalled ?? [] },
    cure: set ? old.cure : now.cure,
    setting: old.setting,
    trim: set ? old.trim : now.trim,
    day: old.day,
    strip: now.strip.map((item) => (held(item.stage) && old.strip.find(({ stage }) => stage === item.stage)) || item),
    notes: [...notes, ...old.notes.filter(({ stage, sentence }) => deep(stage) && !said.has(sentence))],
    inputs: [...now.inputs, ...missing(old.inputs, now.inputs, 'key')],
    sources: [...now.sources, ...missing(old.sources, now.sources, 'key')],
  };
}
