// Asks the worker of the drawing board; of several lines that are dragged past, only the newest is asked.

/** @type {Worker | null} */
let worker = null;
let count = 0;
/** @type {Map<number, { done: (answer: any) => void, fail: (cause: Error) => void }>} */
const open = new Map();
/** What waits while a line is worked out. @type {{ lines: any[], done: (answer: any) => void, fail: (cause: Error) => void } | null} */
let next = null;
let busy = false;

function start() {
  const made = new Worker(new URL('board-worker.js', import.meta.url), { type: 'module' });
  made.addEventListener('message', ({ data: { id, answer, trouble } }) => {
    const asked = open.get(id);
    open.delete(id);
    if (trouble) asked?.fail(new Error(trouble));
    else asked?.done(answer);
  });
  made.addEventListener('error', (event) => {
    event.preventDefault();
    for (const { fail } of open.values()) fail(new Error('The drawing board could not start.'));
    open.clear();
    made.terminate();
    if (worker === made) worker = null;
  });
  return made;
}

/** @param {string} verb @param {...any} given @returns {Promise<any>} */
export function ask(verb, ...given) {
  return new Promise((done, fail) => {
    worker ??= start();
    count += 1;
    open.set(count, { done, fail });
    worker.postMessage({ id: count, verb, given });
  });
}

/** The picture for other lines; null when newer ones overtook these. @returns {Promise<any>} */
export function askLines(lines) {
  return new Promise((done, fail) => {
    next?.done(null);
    next = { lines, done, fail };
    if (!busy) void go();
  });
}

async function go() {
  busy = true;
  while (next) {
    const { lines, done, fail } = next;
    next = null;
    try {
      done(await ask('lines', lines));
    } catch (cause) {
      fail(/** @type {Error} */ (cause));
    }
  }
  busy = false;
}
