// The one place that loads the core. It is built twice: a first module, which is there sooner, and the whole one.
//
// Everybody holds the same object `core`; its functions become those of the whole module when that has come.

/** The functions of the core, once `load` is done. @type {any} */
export const core = {};

const WHOLE = './whole/';
const FIRST = './';
const bytesOf = (/** @type {string} */ folder) => new URL(`${folder}bastwork-wasm_bg.wasm`, import.meta.url);

/** @type {Promise<void> | undefined} */
let loading;
/** @type {Promise<boolean> | undefined} */
let coming;

/** Whether the core can do everything: suit, strength, loads, working back. */
export const isWhole = () => core.is_whole?.() === true;

/**
 * Loads the core, once: the whole one where this device holds it or it is asked for, else the first.
 * @param {{ whole?: boolean }} [wanted]
 */
export function load({ whole = false } = {}) {
  loading ??= begin(whole);
  return loading;
}

/**
 * Has the whole core take the place of the first; never rejects.
 * @returns {Promise<boolean>} Whether it is there. After a false it can be asked for again.
 */
export function bringWhole() {
  coming ??= load().then(() => isWhole() || use(WHOLE)).then(() => true, () => {
    coming = undefined;
    return false;
  });
  return coming;
}

async function begin(/** @type {boolean} */ whole) {
  const held = await heldWhole();
  if (held || whole) {
    try {
      await use(WHOLE, held);
      return;
    } catch {
      // The first one can do most of it.
    }
  }
  await use(FIRST);
}

/** The whole module as the service worker of this very page keeps it, or null; nothing is fetched for the answer. */
async function heldWhole() {
  try {
    const worker = navigator.serviceWorker?.controller;
    if (worker?.scriptURL !== new URL('sw.js', import.meta.url).href) return null;
    const answer = await fetch(bytesOf(WHOLE), { cache: 'only-if-cached', mode: 'same-origin' });
    return answer.status === 200 ? answer : null;
  } catch {
    return null;
  }
}

async function use(/** @type {string} */ folder, /** @type {Response | null} */ held = null, anew = '') {
  // Side by side: the module itself need not wait for its script.
  const [glue, bytes] = await Promise.all([import(`${folder}bastwork-wasm.js${anew}`), held ?? fetch(bytesOf(folder))]);
  await glue.default({ module_or_path: bytes });
  Object.assign(core, glue);
  for (const [name, answer] of Object.entries(STOPPED)) {
    if (glue[name]) core[name] = (/** @type {any[]} */ ...given) => { try { return glue[name](...given); } catch { return begunAnew(answer(...given)); } };
  }
}

const stopped = 'Working this plan out stopped half way. The plan is kept: change what you changed last.';
/** What is told instead of a sheet. */
export const halfWay = () => ({ stopped, problems: [{ field: '', sentence: stopped }] });
/** What is answered where the core stops half way. @type {Record<string, (...given: any[]) => any>} */
const STOPPED = { sheet: halfWay, first_sheet: halfWay, read_entry: () => ({ problem: { field: '', sentence: stopped } }), show_entry: (_, value) => String(value), astray: () => [] };

/** @type {Promise<void> | undefined} */
let beginning;
let times = 0;

/** Throws the module away that stopped, and fetches another from what is kept. @param {any} answer */
function begunAnew(answer) {
  beginning ??= use(isWhole() ? WHOLE : FIRST, null, `?${times += 1}`).catch(() => {}).finally(() => { beginning = undefined; });
  return answer;
}
