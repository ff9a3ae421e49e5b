// Has the page kept for use without a network, and lets a newer one in only when the reader says so.

/** Milliseconds between two looks for a newer page while this one stays open. */
const rest = 3_600_000;
/** Milliseconds the page waits for its first worker before it goes on without: one that hangs must not keep the rest away. */
const patience = 20_000;

/**
 * @param {object} hooks
 * @param {(sentence: string, options?: { kind: 'standing', action: { label: string, go: () => void } }) => void} hooks.say
 * @param {() => unknown} hooks.save Saves the plan now; false (or `{ kept: false }`) when that could not be done.
 * @returns {Promise<void>} Done when what is fetched from now on is kept for later, or when it is clear that nothing is kept. Never
 *   rejects: without a worker the page works as before, only not without a network.
 */
export async function workOffline({ say, save }) {
  const workers = globalThis.navigator?.serviceWorker;
  if (!workers) return;
  try {
    const first = !workers.controller;
    const registration = await workers.register(new URL('sw.js', import.meta.url), { updateViaCache: 'none' });
    const fresh = !registration.active;
    let wanted = false;

    const start = async (/** @type {ServiceWorker} */ worker) => {
      if (await saved(save)) {
        wanted = true;
        worker.postMessage('start');
      } else say('Your plan could not be saved just now, so the newer Bastwork waits. Export the plan as a file, then close and open the page.');
    };
    const offer = () => {
      const { waiting, active } = registration;
      if (!waiting || !active) return;
      say('A newer Bastwork is ready. It starts when you close and open the page, or tap here.', {
        kind: 'standing', action: { label: 'Start it now', go: () => void start(waiting) },
      });
    };

    let taken = !first;
    workers.addEventListener('controllerchange', () => {
      const before = taken;
      taken = true;
      // The first worker takes charge of a page whose files it has just stored: nothing changes for the reader.
      if (!before && !wanted) return;
      if (wanted) location.reload();
      else {
        say('A newer Bastwork was started in another tab. Tap here to go on with it: your plan is saved first.', {
          kind: 'standing', action: { label: 'Go on', go: async () => { if (await saved(save)) location.reload(); } },
        });
      }
    });

    registration.addEventListener('updatefound', () => watch(registration.installing));
    const watch = (/** @type {ServiceWorker | null} */ worker) => worker?.addEventListener('statechange', () => {
      if (worker.state === 'installed') offer();
    });
    watch(registration.installing);
    offer();
    workers.addEventListener('message', ({ data }) => {
      if (data === 'all kept' && fresh && !wanted) say('This page now works without a network.');
    });

    let looked = Date.now();
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState !== 'visible' || Date.now() - looked < rest) return;
      looked = Date.now();
      registration.update().catch(() => {});
    });

    await inCharge(registration);
    // The worker fetches what is still missing of all that only a tap, a handout or an installation needs.
    registration.active?.postMessage('rest');
  } catch {
    // Pages that were not served by https or from this computer have no worker: nothing to tell, all else works.
  }
}

/**
 * A first visit waits until its worker has the page's files; later ones find it at work.
 * @param {ServiceWorkerRegistration} registration
 * @returns {Promise<void>}
 */
function inCharge({ installing, active }) {
  const worker = active ?? installing;
  return new Promise((done) => {
    const look = () => { if (!worker || worker.state === 'activated' || worker.state === 'redundant') done(); };
    worker?.addEventListener('statechange', look);
    setTimeout(done, patience);
    look();
  });
}

/** @param {() => unknown} save */
async function saved(save) {
  try {
    const result = /** @type {any} */ (await save());
    return result !== false && result?.kept !== false;
  } catch {
    return false;
  }
}
