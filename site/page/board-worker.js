// The worker behind the drawing board: holds a core and one board, and answers in order.
import { bench } from './board-bench.js';
import init, * as core from './bastwork-wasm.js';

/** @type {Promise<any>} */
let ready;
const answerTo = bench(core);

addEventListener('message', async ({ data: { id, verb, given } }) => {
  if (verb === 'begin') {
    ready = init({ module_or_path: given[0] });
    // Told to whoever asks.
    ready.catch(() => {});
    return;
  }
  try {
    await ready;
  } catch {
    // As if this worker had not started: the page then tries by itself.
    setTimeout(() => { throw new Error('no core'); });
    return;
  }
  try {
    postMessage({ id, answer: answerTo(verb, given) });
  } catch (cause) {
    postMessage({ id, trouble: String(cause) });
  }
});
