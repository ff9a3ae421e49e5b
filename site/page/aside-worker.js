// The worker behind aside.js: holds a core of its own and answers one question after the other.
import init, * as core from './bastwork-wasm.js';

/** @type {Promise<any>} */
let ready;
postMessage({ here: true });

addEventListener('message', async ({ data: [verb, ...given] }) => {
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
    postMessage({ answer: /** @type {any} */ (core)[verb](...given) });
  } catch (cause) {
    postMessage({ trouble: String(cause) });
  }
});
