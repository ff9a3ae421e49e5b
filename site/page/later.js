// Fetches what only the whole sheet needs, once the page asks for it; it is not part of the first load.

let coming = null;
let here = null;

/** The views of the whole sheet; null when they cannot be fetched now, and the next call tries again. */
export function views() {
  coming ??= Promise.all([import('./views.js'), styled('views.css'), styled('board.css')]).then(([found]) => { here = found; return found; }).catch(() => { coming = null; return null; });
  return coming;
}

/** The same at once, or null when they are not here yet. */
export const viewsNow = () => here;

/** Their style; the page does without when it does not come. */
function styled(file) {
  const link = document.createElement('link');
  link.rel = 'stylesheet';
  link.href = new URL(file, import.meta.url).href;
  return new Promise((done) => {
    link.onload = link.onerror = done;
    document.head.append(link);
  });
}
