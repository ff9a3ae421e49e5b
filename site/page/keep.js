// Keeps texts by key in the browser's store, and in memory what the store has no room for.

/**
 * @typedef {object} Keep
 * @property {'store' | 'full' | 'memory'} mode Where texts go: `full` reads the store but could not write to it at the start.
 * @property {(key: string) => string | null} read The newest text, from memory when the store had no room for it.
 * @property {(key: string) => string | null | undefined} look The same; undefined when the store does not let itself be read just now.
 * @property {(key: string) => string | null | undefined} stored What the store itself holds, whoever wrote it; undefined when it does not let
 *   itself be read just now.
 * @property {(key: string, text: string) => boolean} write False when the text is only in memory.
 * @property {(key: string, text: string) => void} hold Keeps a text in memory only.
 * @property {() => 'full' | 'drops' | 'unread' | null} trouble What went wrong last: no room, a text that was taken and is not there, or no reading.
 * @property {(key: string) => boolean} remove Whether the key is gone.
 * @property {(key: string) => void} forget Drops what is only in memory.
 * @property {(prefix: string) => string[]} keys
 */

/**
 * @param {Pick<Storage, 'getItem' | 'setItem' | 'removeItem' | 'key' | 'length'> | null} [given] A store; the browser's own when left out.
 * @returns {Keep}
 */
export function openKeep(given) {
  const { storage, mode } = usable(given);
  /** @type {Map<string, string>} */
  const memory = new Map();
  /** @type {ReturnType<Keep['trouble']>} */
  let trouble = null;
  const stored = (/** @type {string} */ key) => {
    try {
      return storage.getItem(key);
    } catch {
      trouble = 'unread';
      return undefined;
    }
  };
  return {
    mode,
    stored,
    trouble: () => trouble,
    read: (key) => memory.get(key) ?? stored(key) ?? null,
    look: (key) => memory.get(key) ?? stored(key),
    write(key, text) {
      try {
        storage.setItem(key, text);
        // Some stores take a text and do not keep it.
        const there = stored(key);
        if (there === text) {
          memory.delete(key);
          trouble = null;
          return true;
        }
        if (there !== undefined) trouble = 'drops';
      } catch {
        trouble = 'full';
      }
      memory.set(key, text);
      return false;
    },
    hold: (key, text) => { memory.set(key, text); },
    remove(key) {
      memory.delete(key);
      try {
        storage.removeItem(key);
      } catch {
        // A store that cannot be written to keeps it; the next visit shows it again.
      }
      return stored(key) === null;
    },
    forget: (key) => { memory.delete(key); },
    keys(prefix) {
      const found = new Set(memory.keys());
      try {
        for (let at = 0; at < storage.length; at += 1) found.add(storage.key(at) ?? '');
      } catch {
        // Memory is all there is.
        trouble = 'unread';
      }
      return [...found].filter((key) => key.startsWith(prefix));
    },
  };
}

/** @param {Parameters<typeof openKeep>[0]} given */
function usable(given) {
  let storage = given;
  try {
    // Where storage is switched off, even looking at it throws.
    storage = given === undefined ? globalThis.localStorage : given;
    if (!storage) return { storage: inMemory(), mode: /** @type {const} */ ('memory') };
    storage.setItem('bastwork.probe', '1');
    if (storage.getItem('bastwork.probe') !== '1') throw new Error('It takes a text and does not keep it.');
    storage.removeItem('bastwork.probe');
    return { storage, mode: /** @type {const} */ ('store') };
  } catch {
    return holdsSomething(storage)
      ? { storage: /** @type {Storage} */ (storage), mode: /** @type {const} */ ('full') }
      : { storage: inMemory(), mode: /** @type {const} */ ('memory') };
  }
}

/** @param {Parameters<typeof openKeep>[0]} storage */
function holdsSomething(storage) {
  try {
    return Boolean(storage && storage.length > 0);
  } catch {
    return false;
  }
}

function inMemory() {
  /** @type {Map<string, string>} */
  const texts = new Map();
  return {
    getItem: (/** @type {string} */ key) => texts.get(key) ?? null,
    setItem: (/** @type {string} */ key, /** @type {string} */ text) => { texts.set(key, text); },
    removeItem: (/** @type {string} */ key) => { texts.delete(key); },
    key: (/** @type {number} */ at) => [...texts.keys()][at] ?? null,
    get length() { return texts.size; },
  };
}
