// Turns a plan into a link and back; the plan stands in the fragment, which browsers never send to a server.
//
// After `#` stands one digit that tells the form, then base64url: 1 is raw deflate of the plan's JSON, 0 the JSON itself.
import { isPlan, planBytes, readJson } from './json.js';
import { standalone } from './ownshelf.js';

/** Longest fragment looked at: a plan of the largest size, uncompressed. */
const longest = Math.ceil(planBytes * 4 / 3) + 2;

const lost = 'This link does not hold a whole plan: part of it was lost on the way. Ask for it again, or for the plan as a file.';
const tooBig = 'This link holds more than a plan can be. It was not opened.';
const tooNew = 'This link was made by a newer Bastwork. Load the newest page and open it again.';
const tooOld = 'This browser cannot unpack the link. Ask for the plan as a file.';

/**
 * A link that brings the plan back.
 * @param {Record<string, any>} plan
 * @param {unknown} [own] The own shelf: entries of it that the plan uses are written into the link.
 * @param {string} [page] Address of the page.
 * @returns {Promise<string>}
 */
export async function linkFor(plan, own = null, page = globalThis.location?.href ?? '') {
  const { saved: _, ...content } = standalone(plan, own);
  const bytes = new TextEncoder().encode(JSON.stringify(content));
  let payload = `0${toBase64(bytes)}`;
  try {
    payload = `1${toBase64(await through(bytes, new CompressionStream('deflate-raw')))}`;
  } catch {
    // An older browser: the link is longer and works all the same.
  }
  return `${page.split(/[?#]/)[0]}#${payload}`;
}

/**
 * The plan in an address; null when it holds none. Never throws.
 * @param {{ hash: string }} location
 * @returns {Promise<{ plan: Record<string, any> } | { sentence: string } | null>}
 */
export async function planFrom(location) {
  const hash = String(location?.hash ?? '').replace(/^#/, '');
  const form = /^\d/.exec(hash)?.[0];
  if (form === undefined) return null;
  if (hash.length > longest) return { sentence: tooBig };
  if (form > '1') return { sentence: tooNew };
  try {
    let bytes = fromBase64(hash.slice(1));
    if (form === '1') {
      if (typeof DecompressionStream === 'undefined') return { sentence: tooOld };
      bytes = await through(bytes, new DecompressionStream('deflate-raw'), planBytes);
    }
    const plan = readJson(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
    if (isPlan(plan)) return { plan };
    return { sentence: plan?.format > 1 ? tooNew : lost };
  } catch (cause) {
    return { sentence: cause instanceof RangeError ? tooBig : lost };
  }
}

/**
 * Sends bytes through a stream; a RangeError when more than `most` come out.
 * @param {Uint8Array} bytes
 * @param {CompressionStream | DecompressionStream} stream
 */
async function through(bytes, stream, most = Infinity) {
  const writer = stream.writable.getWriter();
  // What goes wrong is told at the reading end.
  writer.write(/** @type {BufferSource} */ (bytes)).then(() => writer.close()).catch(() => {});
  const reader = stream.readable.getReader();
  const parts = [];
  let size = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    parts.push(value);
    size += value.length;
    if (size > most) {
      reader.cancel().catch(() => {});
      throw new RangeError('more than a plan');
    }
  }
  const all = new Uint8Array(size);
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

/** @param {Uint8Array} bytes */
function toBase64(bytes) {
  let text = '';
  for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return btoa(text).replaceAll('+', '-').replaceAll('/', '_').replace(/=+$/, '');
}

/** @param {string} text */
function fromBase64(text) {
  if (!/^[\w-]*$/.test(text)) throw new Error('not base64url');
  return Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), (letter) => letter.charCodeAt(0));
}
