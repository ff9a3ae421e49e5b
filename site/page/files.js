// Plans and the whole shop as files: out by download or by the device's own sharing, and in again without overwriting.
import { sift, sifted } from './door.js';
import { canonical, cleaned, isPlan, isRecord, planBytes } from './json.js';
import { join, renamed, standalone } from './ownshelf.js';
import { isId, newId } from './store.js';
import { copyName, named, nameOf, unread } from './storewords.js';

/** @typedef {import('./store.js').Store} Store */

/** Largest file looked into. */
const fileBytes = 5 * 1024 * 1024;
/** Most plans taken from one file. */
const mostPlans = 500;

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
  const shop = { bastwork: 1, exported: new Date().toISOString(), plans, own: store.peekOwn() ?? null, aside: store.asides().map(({ slot: _, ...aside }) => aside), newer: store.newer() };
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
 * Downloads something that was set aside, as it is.
 * @param {{ text: string }} aside
 */
export function exportAside({ text }) {
  return download(new File([text], 'bastwork-set-aside.json', { type: 'application/json' }));
}

/**
 * Takes what a file holds into the store. Never throws, and never overwrites what is there and different. What cannot be read is set
 * aside, and the rest comes in.
 * @param {Blob & { name?: string }} file
 * @param {Store} store
 * @param {any} [core] Tries what is for the own shelf.
 * @returns {Promise<{ plans: Record<string, any>[], own: Record<string, any> | null, sentences: string[] }>}
 *   `plans` as the store now has them, `own` the own shelf when the file brought something to it.
 */
export async function readFile(file, store, core = null) {
  const label = file?.name ? `"${String(file.name).slice(0, 80)}"` : 'The file';
  const nothing = (/** @type {string} */ sentence) => ({ plans: [], own: null, sentences: [sentence] });
  try {
    if (file.size > fileBytes) return nothing(`${label} is larger than 5 MB, which no file of Bastwork is. It was not opened.`);
    const document = parsed((await file.text()).replace(/^\uFEFF/, ''));
    if (isRecord(document) && typeof document.bastwork === 'number') {
      if (document.bastwork !== 1) return nothing(`${label} was written by a newer Bastwork. Load the newest page and open it again.`);
      return takeShop(document, label, store, core);
    }
    if (isRecord(document) && Array.isArray(document.stack) && Number(document.format) > 1) {
      return nothing(`${label} was written by a newer Bastwork. Load the newest page and open it again.`);
    }
    const plan = cleaned(document);
    if (!isPlan(plan)) return nothing(`${label} is not a file of Bastwork. Choose a plan or a backup that was exported here.`);
    if (canonical(plan).length > planBytes) return nothing(`${label} is too large for a plan. It was not opened.`);
    return takeShop({ plans: [plan] }, label, store, core);
  } catch {
    return nothing(`${label} could not be read. Choose it again, or export it anew where it came from.`);
  }
}

function parsed(/** @type {string} */ text) {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** The text of anything; empty when it nests deeper than this browser can write. */
function textOf(/** @type {unknown} */ value) {
  try {
    return JSON.stringify(value) ?? '';
  } catch {
    return '';
  }
}

/**
 * The own shelf of a file without what cannot be read.
 * @param {unknown} given
 * @param {any} core
 */
function siftOwn(given, core) {
  /** @type {import('./door.js').Bad[]} */
  const deep = [];
  // Entry by entry, so that one which nests without end does not take the others along.
  const clean = (/** @type {string[]} */ way, /** @type {any} */ value) => {
    const found = cleaned(value);
    if (found !== undefined || value === undefined) return found;
    if (isRecord(value) && way.length < 2) {
      return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, clean([...way, key], part)]).filter(([, part]) => part !== undefined));
    }
    deep.push({ path: way.join('.'), name: String(way.at(-1) ?? 'own shelf').slice(0, 80), text: textOf(value), why: 'It nests without end.' });
    return undefined;
  };
  const own = clean([], given) ?? null;
  const { own: good, bad } = own !== null && core ? sift(core, own) : { own, bad: [] };
  return { good, bad: [...deep, ...bad] };
}

/**
 * @param {Record<string, any>} shop
 * @param {string} label
 * @param {Store} store
 * @param {any} core
 */
function takeShop(shop, label, store, core) {
  /** @type {string[]} */
  const sentences = [];
  const { good: theirs, bad } = siftOwn(shop.own, core);
  const apart = (/** @type {string} */ text, key = '', why = '') => text !== '' && store.addAside(text, key, why);
  sentences.push(...sifted(bad));
  if (!bad.map(({ text, path, why }) => apart(text, `own.${path}`, why)).every(Boolean)) sentences.push(`There is no room for it here: ${label} still holds it.`);
  const ours = store.peekOwn();
  // Where the shelf cannot be read now, nothing is laid on it.
  const { own, moved, added, beside, kept } = join(ours ?? null, ours === undefined ? null : theirs);
  if (ours === undefined && theirs) sentences.push(`${unread} What is for your own shelf is still in ${label}.`);
  if (added > 0) sentences.push(store.saveOwn(own).sentence ?? `${added} ${added === 1 ? 'entry' : 'entries'} came to your own shelf.`);
  for (const name of beside) sentences.push(`"${name}" is on your shelf with other values: the one from the file is kept beside it.`);
  if (kept.length > 0) sentences.push('Some figures that this shop has learned or written for prices and stock differ from those in the file: yours are kept.');

  const listed = Array.isArray(shop.plans) ? shop.plans : [];
  const first = listed.slice(0, mostPlans).map((given) => ({ given, plan: cleaned(given) }));
  const fits = (/** @type {unknown} */ plan) => isPlan(plan) && canonical(plan).length <= planBytes;
  const good = first.map(({ plan }) => plan).filter(fits);
  const left = first.filter(({ plan }) => !fits(plan)).map(({ given }) => textOf(given));
  if (left.length > 0) {
    const [it, them] = left.length === 1 ? ['it is', 'It is'] : ['they are', 'They are'];
    const all = left.map((text) => text === 'null' || apart(text)).every(Boolean);
    sentences.push(`${left.length} of the plans in ${label} could not be taken: ${it} not a plan, or too large. ${them} ${all ? 'set aside, in the list of plans.' : `still in ${label}: there is no room here.`}`);
  }
  if (listed.length > mostPlans) sentences.push(`The first ${mostPlans} plans of ${label} are taken: the other ${listed.length - mostPlans} are still in it.`);
  const jobs = new Map(store.plans().map(({ id }) => [jobOf(store.peek(id) ?? {}), id]));
  /** @type {{ sentences: string[], came: string[], same: string[] }} */
  const told = { sentences, came: [], same: [] };
  const plans = good.map((plan) => takePlan(renamed(plan, moved), store, jobs, told));
  if (told.came.length > 0) sentences.push(cameIn(told.came));
  if (told.same.length > 0) sentences.push(hereAlready(told.same));
  for (const aside of Array.isArray(shop.aside) ? shop.aside : []) {
    if (!isRecord(aside) || typeof aside.text !== 'string') continue;
    if (!store.addAside(aside.text, aside.key, typeof aside.why === 'string' ? aside.why.slice(0, 400) : '')) sentences.push(`There is no room here for all that was set aside in ${label}: it is still there.`);
  }
  const newer = (Array.isArray(shop.newer) ? shop.newer : []).filter((text) => typeof text === 'string');
  if (newer.map((text) => store.addAside(text, 'newer')).length > 0) sentences.push(`Some of ${label} was saved by a newer Bastwork and is set aside.`);

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
