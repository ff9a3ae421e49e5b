// Keeps every file of the page, so that it opens without a network; a newer build waits until the page lets it in.
const files = /*FILES*/[];
const version = /*VERSION*/'';
/** What a page and a worker may load; the second for all that nobody may show inside another page. */
const policy = /*POLICY*/'';
const alone = /*ALONE*/'';

const home = new URL('./', self.location.href);
/** Caches belong to a whole origin: the folder in the name keeps two copies of the page apart. */
const family = `bastwork ${home.pathname} `;
const name = family + version;
const known = new Map(files.map(([link, hash]) => [link, hash]));

/** What is being fetched now: a page and the worker itself may want the same file in the same moment. */
const coming = new Map();

// The page's own files first: with them it works. Of the rest, what an older build left behind unchanged.
self.addEventListener('install', (event) => {
  event.waitUntil(Promise.all([fill(0), takeOver()]));
});

// Nothing is fetched here: the page would wait for it.
self.addEventListener('activate', (event) => {
  event.waitUntil(self.clients.claim().finally(clear));
});

// The page asks for 'start' after the plan has been saved; until then the old files stay in use. It asks for 'rest' when it is
// at work: then comes what only a tap, a handout or an installation needs.
self.addEventListener('message', (event) => {
  if (event.data === 'start') event.waitUntil(self.skipWaiting());
  if (event.data === 'rest') event.waitUntil(fill(1).then(() => event.source?.postMessage('all kept'), () => {}).then(() => mend(files)));
  if (event.data === 'mend') event.waitUntil(mend(files.filter((file) => file[2] === 0)).then((found) => event.ports[0]?.postMessage(found)));
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== home.origin || !url.pathname.startsWith(home.pathname)) return;
  const page = request.mode === 'navigate';
  const link = linkOf(url, page);
  if (link === null) return;
  event.respondWith(page ? pageFor(link) : answer(link));
});

/** The file of ours that an address means, or null; folders and some servers leave out part of a page's name. */
function linkOf(url, page) {
  const path = url.pathname.slice(home.pathname.length);
  const names = page ? [path, `${path}index.html`, `${path}.html`] : [path];
  return names.find((one) => known.has(one)) ?? null;
}

/** A page is looked at before it is shown: one that is cut off could not even say so. */
async function pageFor(link) {
  const cache = await caches.open(name);
  const held = await cache.match(keyOf(link));
  if (held && !(await isWhole(link, await held.clone().arrayBuffer()))) await cache.delete(keyOf(link));
  return answer(link).catch(() => new Response('<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Bastwork</title><p>This page is missing on this device, and it cannot be had just now. Connect to a network, then load it again. Your plans stay as they are.</p></html>', { status: 503, headers: { 'content-type': 'text/html; charset=utf-8', 'content-security-policy': policy } }));
}

async function answer(link) {
  const cache = await caches.open(name);
  const held = await cache.match(keyOf(link));
  if (held) return held;
  const { response } = await bring(link);
  return response.clone();
}

/** Takes over from older caches what has not changed, and fetches the rest. */
async function fill(later) {
  const cache = await caches.open(name);
  await Promise.all(files.filter((file) => file[2] === later).map(async ([link]) => {
    const key = keyOf(link);
    if (await cache.match(key)) return;
    const older = await caches.match(key);
    if (older) await cache.put(key, ours(link, older.body, older.headers));
    else if (!(await bring(link, 'force-cache')).kept) throw new Error('no room');
  }));
}

async function takeOver() {
  const cache = await caches.open(name);
  await Promise.all(files.filter((file) => file[2] === 1).map(async ([link]) => {
    const older = await caches.match(keyOf(link));
    if (older) await cache.put(keyOf(link), ours(link, older.body, older.headers));
  }));
}

/** Fetches a file and keeps it, once for all who want it. With `force-cache` what the page has just fetched need not come again. */
function bring(link, /** @type {RequestCache} */ first = 'no-cache') {
  if (!coming.has(link)) coming.set(link, fetched(link, first).finally(() => coming.delete(link)));
  return coming.get(link);
}

async function fetched(link, first) {
  const { answered, bytes } = await ofThisBuild(link, first);
  // An answer that came by way of another address may not be shown as a page: only what it holds is kept.
  const response = ours(link, bytes, answered.headers);
  const cache = await caches.open(name);
  const kept = await cache.put(keyOf(link), response.clone()).then(() => true, () => false);
  return { response, kept };
}

/** A file as this build knows it; what the browser keeps may be old, and of a page nobody could tell. */
async function ofThisBuild(link, first) {
  let answered;
  for (const cache of /** @type {RequestCache[]} */ (first === 'force-cache' && /\.(js|bin|css)$/.test(link) ? [first, 'reload'] : ['no-cache'])) {
    answered = await fetch(new URL(link, home), { cache });
    const bytes = await answered.arrayBuffer();
    // The server may hold a newer build already: its code is not mixed with ours.
    if (answered.ok && await isWhole(link, bytes)) return { answered, bytes };
  }
  throw new Error(answered.ok ? `${link} is of another build` : `${link} is not there yet`);
}

/** A file with the policy that it must come with, whatever its host sends: a worker heeds no other. */
function ours(link, body, before) {
  const headers = new Headers(before);
  headers.set('content-security-policy', link.startsWith('frame.') ? policy : `${policy}; ${alone}`);
  return new Response(body, { headers });
}

/** Whether a file is what this build knows; hosts write into pages, so of them it asks only that they end. */
async function isWhole(link, bytes) {
  if (/\.(js|bin|css)$/.test(link)) return await fingerprint(bytes) === known.get(link);
  return link.endsWith('.html') ? new TextDecoder().decode(bytes).includes('</html>') : bytes.byteLength > 0;
}

/** Looks through what is kept, and fetches what is missing or broken: what was mended, and what could not be, and why. */
async function mend(wanted) {
  const cache = await caches.open(name);
  const [mended, bad] = [[], []];
  await Promise.all(wanted.map(async ([link]) => {
    const held = await cache.match(keyOf(link));
    if (held && await isWhole(link, await held.arrayBuffer())) return;
    await bring(link).then(() => mended.push(link), (cause) => bad.push([link, cause instanceof TypeError ? 'away' : 'server']));
  }));
  return { mended, bad };
}

async function fingerprint(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return Array.from(digest.subarray(0, 8), (byte) => byte.toString(16).padStart(2, '0')).join('');
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
