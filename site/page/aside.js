// Questions to the core, asked aside in a worker: the page goes on, and the newest question wins.
import { compiledCore, core, load } from './core.js';

/** Milliseconds that an older question gets to finish before its worker is ended: a sheet is done by then, a search may not be. */
const GRACE = 600;
/** Milliseconds after which a worker that has not begun is given up: its file may be there and empty. */
const BEGUN = 5000;

/** @typedef {{ verb: string, given: any[], done: (answer: any) => void, fail: (cause: Error) => void }} Question */

/** Begins a worker of its own for one kind of question. */
export function aside() {
  /** @type {Worker | null} */
  let worker = null;
  /** What the worker is at, and what comes after it. @type {Question | null} */
  let current = null;
  /** @type {Question | null} */
  let next = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let patience;

  /**
   * Asks the core.
   * @param {string} verb A function of the core: `sheet`, `work_back`.
   * @param {...any} given What it takes; plain values.
   * @returns {Promise<any>} Its answer, or null when a newer question was asked meanwhile. Rejects where the core stopped half way.
   */
  function ask(verb, ...given) {
    return new Promise((done, fail) => {
      next?.done(null);
      next = { verb, given, done, fail };
      if (!current) return go();
      current.done(null);
      patience ??= setTimeout(() => { end(); go(); }, GRACE);
      return undefined;
    });
  }

  /** Ends the worker; what was asked is answered with null. */
  function stop() {
    next?.done(null);
    next = null;
    current?.done(null);
    end();
  }

  function end() {
    calm();
    worker?.terminate();
    worker = null;
    current = null;
  }

  function calm() {
    clearTimeout(patience);
    patience = undefined;
  }

  function go() {
    calm();
    current = next;
    next = null;
    if (!current) return;
    try {
      worker ??= start();
      worker.postMessage([current.verb, ...current.given]);
    } catch {
      void here();
    }
  }

  function start() {
    const made = new Worker(new URL('aside-worker.js', import.meta.url), { type: 'module' });
    made.postMessage(['begin', compiledCore()]);
    // It does not start: an older browser, or its file cannot be had.
    const never = () => { if (made === worker) void here(); };
    const late = setTimeout(never, BEGUN);
    made.addEventListener('message', ({ data }) => {
      clearTimeout(late);
      if (made !== worker || data.here) return;
      const asked = current;
      current = null;
      if (data.trouble) {
        // A core that stopped half way is not asked again.
        end();
        asked?.fail(new Error(data.trouble));
      } else asked?.done(data.answer);
      go();
    });
    made.addEventListener('error', (event) => {
      event.preventDefault();
      clearTimeout(late);
      never();
    });
    return made;
  }

  /** Where there is no worker, the page waits for the answer itself. */
  async function here() {
    const asked = current;
    worker?.terminate();
    worker = null;
    try {
      await load();
      if (asked === current) asked?.done(core[asked.verb](...asked.given));
    } catch (cause) {
      asked?.fail(/** @type {Error} */ (cause));
    }
    if (asked === current) {
      current = null;
      go();
    }
  }

  return { ask, stop };
}

/**
 * Tells that the core stopped half way, with a way on: the same plan without its drawing, as one more.
 * @param {any} app @param {string} sentence
 */
export function wayOn(app, sentence) {
  const { id, part: { shape = null, ...part } = {}, fill: { lines, zones, front, ...fill } = {}, ...rest } = app.plan;
  const action = shape && { label: 'Open it without the drawing', go: () => app.take({ ...rest, part, fill }) };
  app.say(sentence, { kind: 'standing', ...(action && { action }) });
}
