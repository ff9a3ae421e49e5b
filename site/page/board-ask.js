// Asks the worker of the drawing board; of plans and lines that are changed in quick turn, only the newest is asked.
import { bench } from './board-bench.js';
import { compiledCore, core, load } from './core.js';

/** @typedef {{ verb: string, given: any[], done: (answer: any) => void, fail: (cause: Error) => void }} Question */

/** @type {Worker | null} */
let worker = null;
/** What answers in the page itself, where no worker can be had. @type {Promise<(verb: string, given: any[]) => any> | null} */
let here = null;
let count = 0;
/** @type {Map<number, Question>} */
const open = new Map();

/** What waits while another is worked out: a plan, lines and marks wait side by side, the plan goes first. @type {Record<string, Question | null>} */
const waiting = { put: null, lines: null, learn: null };
const following = () => waiting.put ?? waiting.lines ?? waiting.learn;
let busy = false;

/** What was pictured last, for those who need the same: the paper. @type {{ key: string, found: any, drawn: any } | null} */
let latest = null;

/** Everything of a plan that its picture depends on. */
export function keyOf({ id, stamps, saved, name, note, day, ...rest }, own) {
  return JSON.stringify([rest, own]);
}

/** @param {string} key @param {any} found @param {any} drawn */
export const remember = (key, found, drawn) => { latest = { key, found, drawn }; };

/** Picture and words of a plan: as they were remembered, else worked out; null when there are none. */
export async function pictured(plan, own) {
  const key = keyOf(plan, own);
  if (latest?.key === key) return latest;
  const both = await ask('both', plan, own);
  return both?.drawn ? both : null;
}

function start() {
  const made = new Worker(new URL('board-worker.js', import.meta.url), { type: 'module' });
  made.postMessage({ id: 0, verb: 'begin', given: [compiledCore()] });
  made.addEventListener('message', ({ data: { id, answer, trouble } }) => {
    const asked = open.get(id);
    open.delete(id);
    if (trouble) {
      // A core that stopped half way is not asked again, and its board is gone with it.
      if (worker === made) worker = null;
      made.terminate();
      for (const one of [asked, ...open.values()]) one?.fail(new Error(trouble));
      open.clear();
    } else asked?.done(answer);
  });
  // It did not start: an older browser, or its files cannot be had.
  made.addEventListener('error', (event) => {
    event.preventDefault();
    if (worker === made) worker = null;
    made.terminate();
    const asked = [...open.values()];
    open.clear();
    for (const one of asked) void inPage(one);
  });
  return made;
}

/** @param {Question} question */
async function inPage({ verb, given, done, fail }) {
  try {
    here ??= load().then(() => bench(core));
    done((await here)(verb, given));
  } catch (cause) {
    fail(/** @type {Error} */ (cause));
  }
}

/** @param {string} verb @param {...any} given @returns {Promise<any>} */
export function ask(verb, ...given) {
  return new Promise((done, fail) => {
    const question = { verb, given, done, fail };
    if (here) { void inPage(question); return; }
    count += 1;
    open.set(count, question);
    try {
      worker ??= start();
      worker.postMessage({ id: count, verb, given });
    } catch {
      open.delete(count);
      void inPage(question);
    }
  });
}

/** The same for `put`, `lines` and `learn`; null when a newer one of the same kind overtook it. @returns {Promise<any>} */
export function askNewest(verb, ...given) {
  return new Promise((done, fail) => {
    waiting[verb]?.done(null);
    waiting[verb] = { verb, given, done, fail };
    // Lines of the plan before are no longer asked for.
    if (verb === 'put') { waiting.lines?.done(null); waiting.lines = null; }
    if (!busy) void go();
  });
}

async function go() {
  busy = true;
  for (let next = following(); next; next = following()) {
    waiting[next.verb] = null;
    try {
      next.done(await ask(next.verb, ...next.given));
    } catch (cause) {
      next.fail(/** @type {Error} */ (cause));
    }
  }
  busy = false;
}
