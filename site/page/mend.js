// Says why the page does not start, and mends what this device keeps of it. It stands apart from all other scripts, any of which
// may be the one that is missing.
(() => {
  const KEPT = 'bastwork.mended';
  /** A second start so soon after a first that was mended would mend nothing more [ms]. */
  const SOON = 60_000;
  /** How long the worker may take to look through its files [ms]. */
  const PATIENCE = 15_000;
  const place = /** @type {HTMLElement} */ (document.getElementById('loading'));
  const mine = /** @type {any} */ (globalThis).mend;
  const STAY = 'Your plans stay as they are.';

  /** @param {string} sentence */
  function say(sentence) {
    const again = document.createElement('button');
    again.type = 'button';
    again.textContent = 'Try again';
    again.addEventListener('click', () => location.reload());
    place.replaceChildren(`${sentence} `, again);
    place.setAttribute('role', 'status');
  }

  /** @param {string[][]} bad */
  const named = (bad) => {
    const names = bad.map(([link]) => `"${link}"`);
    const all = names.length > 3 ? [...names.slice(0, 2), `${names.length - 2} more parts`] : names;
    return `${all.length > 1 ? `${all.slice(0, -1).join(', ')} and ${all.at(-1)} are` : `${all[0]} is`}`;
  };

  /** Has the worker look through what it keeps; null where none answers. */
  const asked = (/** @type {ServiceWorker} */ worker) => new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => done(data);
    setTimeout(done, PATIENCE, null);
    worker.postMessage('mend', [port2]);
  });

  /** The fingerprint of a file, where this page may take one. */
  async function isWhole(/** @type {string} */ link, /** @type {string} */ hash, /** @type {ArrayBuffer} */ bytes) {
    if (!/\.(js|bin|css)$/.test(link)) return bytes.byteLength > 0;
    if (!globalThis.crypto?.subtle) return bytes.byteLength > 0;
    const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
    return Array.from(digest.subarray(0, 8), (byte) => byte.toString(16).padStart(2, '0')).join('') === hash;
  }

  /** Without a worker: fetches every file that the first sheet needs, past what the browser keeps, and looks at it. */
  async function fetched() {
    const list = await fetch('sw.js', { cache: 'no-cache' }).then((answer) => answer.text(), () => null);
    if (list === null) return { mended: [], bad: [['sw.js', 'away']] };
    const files = JSON.parse(/files = (\[\[.*?\]\]);/.exec(list)?.[1] ?? '[]').filter((/** @type {any} */ file) => file[2] === 0);
    const bad = /** @type {string[][]} */ ([]);
    await Promise.all(files.map(async (/** @type {[string, string]} */ [link, hash]) => {
      try {
        const answer = await fetch(link, { cache: 'reload' });
        if (!answer.ok || !(await isWhole(link, hash, await answer.arrayBuffer()))) bad.push([link, 'server']);
      } catch {
        bad.push([link, 'away']);
      }
    }));
    return { mended: [], bad };
  }

  /** Where the server has a newer page, the files of the old one are gone: the newer one is started. */
  async function renewed() {
    const registration = await navigator.serviceWorker?.getRegistration();
    await registration?.update();
    const newer = registration?.waiting ?? registration?.installing;
    if (!newer) return false;
    place.textContent = 'A newer Bastwork is on its way.';
    const there = await new Promise((done) => {
      const look = () => {
        if (newer.state === 'installed') newer.postMessage('start');
        if (newer.state === 'activated') done(true);
        if (newer.state === 'redundant') done(false);
      };
      newer.addEventListener('statechange', look);
      look();
    });
    if (there) location.reload();
    return there;
  }

  function reload() {
    try {
      if (Date.now() - Number(sessionStorage.getItem(KEPT)) < SOON) return false;
      sessionStorage.setItem(KEPT, String(Date.now()));
    } catch {
      return false;
    }
    location.reload();
    return true;
  }

  async function look() {
    if (typeof WebAssembly !== 'object') return say('This browser cannot start the computation. It needs WebAssembly: try a newer browser.');
    if (!globalThis.DecompressionStream) return say('This browser cannot unpack the computation: try a newer browser.');
    const why = mine.why;
    const worker = navigator.serviceWorker?.controller;
    const { mended, bad } = (worker && await asked(worker)) || await fetched();
    if (bad.length === 0) {
      if (why === 'slow' && mended.length === 0) {
        place.textContent = 'This takes long. The page comes as soon as its last part is here.';
        return undefined;
      }
      if (reload()) return undefined;
      const said = why instanceof Error ? ` The browser says: ${why.message}` : '';
      return say(`All parts of Bastwork are here, and yet it does not start. Try a newer browser. ${STAY}${said}`);
    }
    if (bad.some(([, cause]) => cause === 'away')) {
      const what = bad[0][0] === 'sw.js' ? 'A part is' : named(bad);
      return say(`Bastwork cannot start: ${what} missing here, and there is no network to fetch it. Connect to one, and the page mends itself. ${STAY}`);
    }
    if (await renewed().catch(() => false)) return undefined;
    return say(`Bastwork cannot start: ${named(bad)} missing or broken on the server. Try again later. ${STAY}`);
  }

  mine.again = look;
  addEventListener('online', () => { void look(); });
  void look();
})();
