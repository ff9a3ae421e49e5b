// Starts the page: loads the core, shows its version, keeps everything for use without a network.
import init, { version } from './bastwork-wasm.js';

await init();
document.querySelector('#version').value = version();

if ('serviceWorker' in navigator) await navigator.serviceWorker.register('sw.js');
