// The worker behind aside.js: holds a whole core of its own and answers one question after the other.
import init, * as core from './whole/bastwork-wasm.js';

const ready = init();
// Told to whoever asks.
ready.catch(() => {});

addEventListener('message', async ({ data: [verb, ...given] }) => {
  try {
    await ready;
  } catch {
    // As if this worker had not started: the page then tries by itself.
    setTimeout(() => { throw new Error('no core'); });
    return;
  }
  try {
    postMessage({ answer: /** @type {any} */ (core)[verb](...given) });
  } catch (cause) {
    postMessage({ trouble: String(cause) });
  }
});
