// Keeps every file of the page, so that it opens without a network; a new build is a new version.
const files = /*FILES*/[];
const version = /*VERSION*/'';
const name = `bastwork-${version}`;

self.addEventListener('install', (event) => {
  const wanted = files.map(([link]) => new Request(link, { cache: 'reload' }));
  event.waitUntil(caches.open(name).then((cache) => cache.addAll(wanted)).then(() => self.skipWaiting()));
});

self.addEventListener('activate', (event) => {
  const old = (names) => names.filter((other) => other.startsWith('bastwork-') && other !== name);
  event.waitUntil(caches.keys().then((names) => Promise.all(old(names).map((other) => caches.delete(other))))
    .then(() => self.clients.claim()));
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || new URL(request.url).origin !== location.origin) return;
  const link = request.mode === 'navigate' && request.url.endsWith('/') ? `${request.url}index.html` : request;
  event.respondWith(caches.open(name).then((cache) => cache.match(link, { ignoreSearch: true }))
    .then((kept) => kept ?? fetch(request)));
});
