// What comes from outside comes in through the core's own reader, each entry by itself: what it cannot read stays out, with the reason.
import { isRecord } from './json.js';
import { named } from './storewords.js';

/** Rows and groups of a plan that go whole: a line without its corners is none. */
const WHOLE = /^(?:(?:fill\.(?:lines|zones|front)|bag\.test|dry\.weighings)\.\d+|part\.shape|day\.began|stamps)(?=\.|$)/;
/** Places of groups and lists: an empty text there is nothing. */
const PLACES = ['fill.lines', 'fill.zones', 'fill.front', 'bag.test', 'dry.weighings', 'part.shape', 'day.began'];
const WORDS = ['name', 'note', 'units', 'route', 'resin'];
const isRow = (/** @type {string} */ step) => /^\d+$/.test(step);
const blank = (/** @type {unknown} */ value) => value === undefined || value === null || (typeof value === 'string' && !value.trim());

/**
 * A plan as the page can hold it: what stands in a place of another kind, such as a word where a list belongs, is beside it in `astray`, and
 * the core tells it among the problems.
 * @param {any} core
 * @param {Record<string, any>} plan
 * @returns {Record<string, any>}
 */
export function held(core, plan) {
  const whole = JSON.parse(JSON.stringify(plan));
  const list = [whole.astray ?? []].flat();
  delete whole.astray;
  const back = list.filter((/** @type {any} */ pair) => put(whole, pair));
  for (const key of Object.keys(whole)) if (blank(whole[key]) && !WORDS.includes(key)) delete whole[key];
  for (const path of PLACES) if (blank(at(whole, path))) take(whole, path);
  // What is on the page is looked at, whatever version wrote it.
  const found = core.astray({ ...whole, format: 1 }).map((/** @type {string} */ path) => WHOLE.exec(path)?.[0] ?? path);
  const paths = [...new Set(found)];
  // From the last to the first: a row that goes moves those behind it.
  const taken = paths.reverse().flatMap((path) => { const was = take(whole, path); return was === undefined ? [] : [[path, was]]; }).reverse();
  const idle = list.filter((/** @type {any} */ pair) => !back.includes(pair));
  if (taken.length + idle.length > 0) whole.astray = [...taken, ...idle];
  return whole;
}

const at = (/** @type {any} */ here, /** @type {string} */ path) => path.split('.').reduce((of, step) => (typeof of === 'object' && of !== null && Object.hasOwn(of, step) ? of[step] : undefined), here);

function take(/** @type {any} */ whole, /** @type {string} */ path) {
  const way = path.split('.');
  const last = /** @type {string} */ (way.pop());
  const was = at(whole, path);
  const here = way.length ? at(whole, way.join('.')) : whole;
  if (Array.isArray(here)) here.splice(Number(last), was === undefined ? 0 : 1);
  else if (was !== undefined) delete here[last];
  return was;
}

/** Lays back, as the core does; not where something else stands by now, or where its row is gone. */
function put(/** @type {any} */ whole, /** @type {any} */ pair) {
  if (!Array.isArray(pair) || typeof pair[0] !== 'string' || !/^[a-z0-9]\w*(\.[a-z0-9]\w*){0,7}$/i.test(pair[0]) || /constructor|prototype/.test(pair[0])) return false;
  const way = pair[0].split('.');
  const last = /** @type {string} */ (way.pop());
  let here = whole;
  for (const [n, step] of way.entries()) {
    if (typeof here !== 'object' || here === null) return false;
    if (blank(Object.hasOwn(here, step) ? here[step] : null)) {
      if (way.slice(0, n + 1).some(isRow)) return false;
      here[step] = isRow(way[n + 1] ?? last) ? [] : {};
    }
    here = here[step];
  }
  if (Array.isArray(here)) return isRow(last) && Boolean(here.splice(Math.min(Number(last), here.length), 0, pair[1]));
  if (!isRecord(here) || (Object.hasOwn(here, last) && here[last] !== null)) return false;
  here[last] = pair[1];
  return true;
}

/** @typedef {{ path: string, name: string, text: string, why: string }} Bad Where it was, and its text as a file that can be opened again. */

/**
 * The own shelf without what the core cannot read.
 * @param {any} core
 * @param {unknown} own
 * @returns {{ own: Record<string, any>, bad: Bad[] }}
 */
export function sift(core, own) {
  /** @type {Bad[]} */
  const bad = [];
  const told = (/** @type {any} */ document) => [...(core.check_shelf(document) ?? []), ...draftsTold(document?.drafts)];
  const leave = (/** @type {string[]} */ way, /** @type {unknown} */ value, /** @type {string} */ why) => {
    bad.push({
      path: way.join('.'), why, name: String((isRecord(value) && typeof value.name === 'string' && value.name) || way.at(-1) || 'own shelf').slice(0, 80),
      text: JSON.stringify({ bastwork: 1, own: laid(way, value) }),
    });
  };
  /** What of a value can be read; undefined when nothing can. @returns {any} */
  const good = (/** @type {string[]} */ way, /** @type {unknown} */ value) => {
    const [problem] = told(laid(way, value));
    if (!problem) return value;
    // Tables hold entries, and what was learned of cloths holds cloths.
    if (isRecord(value) && (way.length < 2 || way.join('.') === 'learned.cloths')) {
      const parts = Object.entries(value).map(([key, part]) => [key, good([...way, key], part)]);
      return Object.fromEntries(parts.filter(([, part]) => part !== undefined));
    }
    leave(way, value, problem.sentence);
    return undefined;
  };
  // A shelf of another form is left whole.
  const whole = isRecord(own) && told({ format: own.format }).length === 0 ? good([], own) : undefined;
  const [still] = whole === undefined ? told(own) : told(whole);
  if (!still) return { own: whole, bad };
  bad.length = 0;
  leave([], own, still.sentence);
  return { own: { format: 1 }, bad };
}

const laid = (/** @type {string[]} */ way, /** @type {unknown} */ value) => way.reduceRight((/** @type {any} */ inner, key) => ({ [key]: inner }), value);

/** What is half typed for the own shelf is the page's own: texts by the name of their entry. */
function draftsTold(/** @type {unknown} */ drafts) {
  const texts = (/** @type {unknown} */ of) => of === undefined || (isRecord(of) && Object.values(of).every((text) => typeof text === 'string'));
  const fits = drafts === undefined || drafts === null || (isRecord(drafts) && Object.entries(drafts).every(([kind, draft]) => (kind === 'stock'
    ? texts(draft) : isRecord(draft) && [draft.texts, draft.words, { name: draft.name ?? '' }].every(texts))));
  return fits ? [] : [{ sentence: 'What was half typed there is not text.' }];
}

/** What the tables of an own shelf hold, one and several. @type {Record<string, [string, string]>} */
const KINDS = { fabrics: ['cloth or core', 'cloths or cores'], resins: ['resin', 'resins'], tools: ['tool', 'tools'], stock: ['price or rest of', 'prices or rests of'], learned: ['measured value', 'measured values'] };

/**
 * One sentence for each kind of entry that the core could not read.
 * @param {{ path: string, name: string, why: string }[]} bad
 */
export function sifted(bad) {
  return [...new Set(bad.map(({ path }) => path.split('.')[0]))].map((table) => {
    const of = bad.filter(({ path }) => path.split('.')[0] === table);
    const one = of.length === 1;
    const [single, several] = KINDS[table] ?? ['entry', 'entries'];
    return `The ${one ? single : several} ${named(of.map(({ name }) => name))} of your own shelf cannot be read and ${one ? 'is' : 'are'} set aside, in the list of plans: ${of[0].why}`;
  });
}
