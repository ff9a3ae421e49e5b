// Plans and the whole shop as files: out by download or by the device's own sharing, and in again without overwriting.
import { isPlan, isRecord, planBytes, readJson, canonical } from './json.js';
import { join, renamed, standalone } from './ownshelf.js';
import { isId, newId } from './store.js';
import { copyName, nameOf } from './storewords.js';

/** @typedef {import('./store.js').Store} Store */

/** Largest file looked into. */
const fileBytes = 5 * 1024 * 1024;
/** Most plans taken from one file. */
const mostPlans = 500;

/** Names told in one sentence; the others are counted. */
const told = 4;

/** @param {string[]} names */
function named(names) {
  const shown = names.slice(0, told).map((name) => `"${name}"`);
  const more = names.length - shown.length;
  if (more > 0) shown.push(`${more} more`);
  return shown.length === 1 ? shown[0] : `${shown.slice(0, -1).join(', ')} and ${shown.at(-1)}`;
}

/** @param {string[]} names */
const cameIn = (names) => `${named(names)} came in.`;

/** @param {string[]} names */
const hereAlready = (names) => `${named(names)} ${names.length === 1 ? 'is' : 'are'} here already, just the same.`;

/**
 * The file of one plan: the plan document itself, which every Bastwork reads, the command line too.
 * @param {Record<string, any>} plan
 * @param {unknown} [own] The own shelf: entries of it that the plan uses are written into the file.
 */
export function planFile(plan, own = null) {
  const text = `${JSON.stringify({ format: 1, ...standalone(plan, own) }, null, 2)}\n`;
  return new File([text], `${fileName(nameOf(plan))}.json`, { type: 'application/json' });
}

/**
 * The file of everything: plans, own shelf, learned values, and what was set aside.
 * @param {Store} store
 */
export function shopFile(store, type = 'application/json') {
  const plans = store.plans().map(({ id }) => store.peek(id)).filter((plan) => plan !== null);
  const shop = { bastwork: 1, exported: new Date().toISOString(), plans, own: store.peekOwn(), aside: store.asides(), newer: store.newer() };
  const ending = type === 'application/json' ? 'json' : 'txt';
  const name = `bastwork-${shop.exported.slice(0, 10)}.${ending}`;
  return new File([`${JSON.stringify(shop, null, 2)}\n`], name, { type });
}

/**
 * Downloads one plan.
 * @param {Record<string, any>} plan
 * @param {unknown} [own]
 */
export function exportPlan(plan, own = null) {
  return download(planFile(plan, own));
}

/**
 * Downloads everything and remembers that there is a backup.
 * @param {Store} store
 */
export function exportShop(store) {
  const said = download(shopFile(store));
  store.exported();
  return said;
}

/**
 * Hands everything to another device by the device's own sharing; downloads it where there is none.
 * @param {Store} store
 * @returns {Promise<{ sentence: string }>}
 */
export async function carryOver(store) {
  // Sharing takes plain text on every system; other kinds of file are often refused (from memory).
  const file = shopFile(store, 'text/plain');
  try {
    if (navigator.canShare?.({ files: [file] })) {
      await navigator.share({ files: [file], title: 'Bastwork' });
      store.exported();
      return { sentence: `${file.name} is handed on. Open it in Bastwork on the other device.` };
    }
  } catch (cause) {
    if (/** @type {Error} */ (cause)?.name === 'AbortError') return { sentence: 'Nothing was handed on.' };
  }
  return exportShop(store);
}

/**
 * Takes what a file holds into the store. Never throws, and never overwrites what is there and different.
 * @param {Blob & { name?: string }} file
 * @param {Store} store
 * @returns {Promise<{ plans: Record<string, any>[], own: Record<string, any> | null, sentences: string[] }>}
 *   `plans` as the store now has them, `own` the own shelf when the file brought something to it.
 */
export async function readFile(file, store) {
  const label = file?.name ? `"${String(file.name).slice(0, 80)}"` : 'The file';
  const nothing = (/** @type {string} */ sentence) => ({ plans: [], own: null, sentences: [sentence] });
  try {
    if (file.size > fileBytes) return nothing(`${label} is larger than 5 MB, which no file of Bastwork is. It was not opened.`);
    const document = readJson((await file.text()).replace(/^\uFEFF/, ''));
    if (isRecord(document) && typeof document.bastwork === 'number') {
      if (document.bastwork !== 1) return nothing(`${label} was written by a newer Bastwork. Load the newest page and open it again.`);
      return takeShop(document, label, store);
    }
    if (isRecord(document) && Array.isArray(document.stack) && Number(document.format) > 1) {
      return nothing(`${label} was written by a newer Bastwork. Load the newest page and open it again.`);
    }
    if (!isPlan(document)) return nothing(`${label} is not a file of Bastwork. Choose a plan or a backup that was exported here.`);
    return takeShop({ plans: [document] }, label, store);
  } catch {
    return nothing(`${label} could not be read. Choose it again, or export it anew where it came from.`);
  }
}

/**
 * @param {Record<string, any>} shop
 * @param {string} label
 * @param {Store} store
 */
function takeShop(shop, label, store) {
  /** @type {string[]} */
  const sentences = [];
  const { own, moved, added, beside, kept } = join(store.peekOwn(), shop.own);
  if (added > 0) sentences.push(store.saveOwn(own).sentence ?? `${added} ${added === 1 ? 'entry' : 'entries'} came to your own shelf.`);
  for (const name of beside) sentences.push(`"${name}" is on your shelf with other values: the one from the file is kept beside it.`);
  if (kept.length > 0) sentences.push('Some figures that this shop has learned or written for prices and stock differ from those in the file: yours are kept.');

  const listed = Array.isArray(shop.plans) ? shop.plans : [];
  const good = listed.filter((plan) => isPlan(plan) && canonical(plan).length <= planBytes).slice(0, mostPlans);
  const left = listed.length - good.length;
  if (left > 0) sentences.push(`${left} of the plans in ${label} could not be taken: ${left === 1 ? 'it is' : 'they are'} not a plan, or too large.`);
  const jobs = new Map(store.plans().map(({ id }) => [jobOf(store.peek(id) ?? {}), id]));
  /** @type {{ sentences: string[], came: string[], same: string[] }} */
  const told = { sentences, came: [], same: [] };
  const plans = good.map((plan) => takePlan(renamed(plan, moved), store, jobs, told));
  if (told.came.length > 0) sentences.push(cameIn(told.came));
  if (told.same.length > 0) sentences.push(hereAlready(told.same));
  for (const aside of Array.isArray(shop.aside) ? shop.aside : []) {
    if (isRecord(aside) && typeof aside.text === 'string') store.addAside(aside.text, aside.key);
  }
  if (sentences.length === 0) sentences.push(`${label} holds nothing to take in.`);
  return { plans, own: added > 0 ? own : null, sentences: [...new Set(sentences)] };
}

/**
 * @param {Record<string, any>} plan
 * @param {Store} store
 * @param {Map<string, string>} jobs What every plan here says, with its id.
 * @param {{ sentences: string[], came: string[], same: string[] }} told Sentences, and names of plans that came in and that were here.
 */
function takePlan(plan, store, jobs, { sentences, came, same }) {
  const name = nameOf(plan);
  const twin = jobs.get(jobOf(plan));
  const here = twin === undefined ? null : store.peek(twin);
  if (here) {
    same.push(name);
    return here;
  }
  /** @type {Record<string, any>} */
  const content = { ...plan, id: isId(plan.id) ? plan.id : newId() };
  if (store.has(content.id)) {
    Object.assign(content, { id: newId(), name: copyName(name, store.plans()) });
    sentences.push(`"${name}" is here already with other values: the one from the file is kept beside it as "${content.name}".`);
  } else came.push(name);
  const { sentence } = store.save(content);
  if (sentence) sentences.push(sentence);
  jobs.set(jobOf(content), content.id);
  return content;
}

/** What a plan says, but for where, when and as which copy it is kept. @param {Record<string, any>} plan */
function jobOf(plan) {
  return canonical({ format: 1, ...plan, id: null, saved: null, name: copyName(nameOf(plan), []) });
}

/**
 * Downloads a text that belongs to a plan, under the plan's name.
 * @param {Record<string, any>} plan
 * @returns {string} What to tell.
 */
export function saveText(plan, /** @type {string} */ text, /** @type {string} */ ending, /** @type {string} */ type) {
  return download(new File([text], `${fileName(nameOf(plan))}.${ending}`, { type })).sentence;
}

/** @param {File} file */
function download(file) {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = file.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  return { sentence: `${file.name} is in your downloads.` };
}

/** @param {string} name */
function fileName(name) {
  return name.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '').slice(0, 60) || 'plan';
}
