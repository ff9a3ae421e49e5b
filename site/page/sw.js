// Keeps every file of the page, so that it opens without a network; a newer build waits until the page lets it in.
const files = /*FILES*/[];
const version = /*VERSION*/'';

const home = new URL('./', self.location.href);
/** Caches belong to a whole origin: the folder in the name keeps two copies of the page apart. */
const family = `bastwork ${home.pathname} `;
const name = family + version;
const known = new Map(files.map(([link, hash]) => [link, hash]));

// The page's own files first: with them it works.
self.addEventListener('install', (event) => {
  event.waitUntil(fill(0));
});

// Then, with the page already at work, what only handouts and installations need.
self.addEventListener('activate', (event) => {
  event.waitUntil(self.clients.claim().then(() => fill(1)).finally(clear));
});

// The page asks for this after the plan has been saved; until then the old files stay in use.
self.addEventListener('message', (event) => {
  if (event.data === 'start') event.waitUntil(self.skipWaiting());
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== home.origin || !url.pathname.startsWith(home.pathname)) return;
  const link = linkOf(url, request.mode === 'navigate');
  if (link !== null) event.respondWith(answer(link, request));
});

/** The file of ours that an address means, or null; folders and some servers leave out part of a page's name. */
function linkOf(url, page) {
  const path = url.pathname.slice(home.pathname.length);
  const names = page ? [path, `${path}index.html`, `${path}.html`] : [path];
  return names.find((one) => known.has(one)) ?? null;
}

async function answer(link, request) {
  const cache = await caches.open(name);
  return await cache.match(keyOf(link)) ?? keep(cache, link, await fetch(request));
}

/** Takes over from older caches what has not changed, and fetches the rest. */
async function fill(later) {
  const cache = await caches.open(name);
  await Promise.all(files.filter((file) => file[2] === later).map(async ([link]) => {
    const key = keyOf(link);
    const response = await caches.match(key) ?? await fetched(link);
    await cache.put(key, response);
  }));
}

/** What a page asked for before it was kept is kept then. */
async function keep(cache, link, response) {
  if (response.ok && !response.redirected) await cache.put(keyOf(link), response.clone());
  return response;
}

async function fetched(link) {
  const response = await fetch(new URL(link, home), { cache: 'no-cache' });
  if (!response.ok) throw new Error(`${link} is not there yet`);
  // An answer that came by way of another address may not be shown as a page: keep only what it holds.
  return response.redirected ? new Response(response.body, { headers: response.headers }) : response;
}

/** The fingerprint in the key tells contents apart. */
function keyOf(link) {
  const url = new URL(link, home);
  url.search = known.get(link);
  return url.href;
}

async function clear() {
  const names = await caches.keys();
  await Promise.all(names.filter((other) => other.startsWith(family) && other !== name).map((other) => caches.delete(other)));
}
