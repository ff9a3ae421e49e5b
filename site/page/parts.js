// The parts of the page that a sheet does without: brought when they are wanted.

/** Milliseconds after which a tap that waits for its part is answered in words. */
const SOON = 700;

/** How often each part did not come. @type {Map<string, number>} */
const failed = new Map();

/** A part by its name. A browser may remember a file that did not come: then it is asked for under another address. @param {string} name */
export async function fetchPart(name) {
  const times = failed.get(name) ?? 0;
  try {
    return await import(`./${name}.js${times ? `?${times}` : ''}`);
  } catch (cause) {
    failed.set(name, times + 1);
    throw cause;
  }
}

/**
 * @param {(sentence: string, options?: { action: { label: string, go: () => void } }) => void} say
 * @returns {(name: string, go: (part: any) => void) => Promise<void>} Hands a part to `go`. Says so where the part is not here and
 *   cannot be fetched now; never rejects.
 */
export function bringer(say) {
  /** What waits for each part: of several taps meanwhile, the newest counts. @type {Map<string, (part: any) => void>} */
  const waiting = new Map();
  return async function bring(name, go) {
    const first = !waiting.has(name);
    waiting.set(name, go);
    if (!first) return;
    const wish = () => { const newest = /** @type {(part: any) => void} */ (waiting.get(name)); waiting.delete(name); return newest; };
    const slow = setTimeout(() => say('This part of Bastwork is on its way.'), SOON);
    let part;
    try {
      part = await fetchPart(name);
    } catch {
      const again = wish();
      say('This part of Bastwork is not on this device yet, and it cannot be fetched just now. All else works; try again with a network.', {
        action: { label: 'Try again', go: () => void bring(name, again) },
      });
      return;
    } finally {
      clearTimeout(slow);
    }
    wish()(part);
  };
}

/** The same for what nobody waits for: the part, or null. @param {string} name */
export const quietly = (name) => fetchPart(name).catch(() => null);

/** Waits until the browser has nothing more urgent to do. */
export function idle() {
  return new Promise((done) => {
    if (typeof requestIdleCallback === 'function') requestIdleCallback(done, { timeout: 2000 });
    else setTimeout(done, 200);
  });
}
