// The worker behind the drawing board: holds a whole core and one board, and answers in order.
import { bench } from './board-bench.js';
import init, * as core from './whole/bastwork-wasm.js';

const ready = init();
// Told to whoever asks.
ready.catch(() => {});
const answerTo = bench(core);

addEventListener('message', async ({ data: { id, verb, given } }) => {
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
