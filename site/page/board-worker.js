// The worker behind the drawing board: holds a whole core and one board, and answers in order.
import init, * as core from './whole/bastwork-wasm.js';

const ready = init();
// Told to whoever asks.
ready.catch(() => {});

/** @type {any} */
let board = null;

/** The picture: points and triangles when they may have changed, times and gel. */
function picture(problems = []) {
  return {
    problems, points: board.points(), triangles: board.triangles(), sides: board.sides(), arrival: board.arrival(), gel: board.gel(), quick: board.quick(),
  };
}

const VERBS = {
  put(plan, own) {
    board?.free();
    board = new core.Board(plan, own);
    const problems = board.problems();
    return problems.length ? { problems } : picture();
  },
  lines(lines) {
    const problems = board.set_lines(lines);
    return problems.length ? { problems } : picture();
  },
  drawn: () => board.drawn(),
  layouts: () => board.layouts(),
  file: (name, bytes, unit) => core.shape_from_file(name, bytes, unit),
};

addEventListener('message', async ({ data: { id, verb, given } }) => {
  try {
    await ready;
    postMessage({ id, answer: /** @type {any} */ (VERBS)[verb](...given) });
  } catch (cause) {
    postMessage({ id, trouble: String(cause) });
  }
});
