// Searches for links and backups that do harm: changes what is kept, holds each answer to what every answer is held to, and keeps an
// input that makes the page say something not said before. The page's own scripts and the core, no browser:
//     SITE_DIR=site/dist node tests/browser/fuzz.mjs --what link --seed 7 --minutes 2
import { mkdir, readFile as read, readdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { deflateRawSync, gunzipSync } from 'node:zlib';
import * as door from '../../site/page/door.js';
import { readFile, shopFile } from '../../site/page/files.js';
import { canonical, isPlan, isRecord, planBytes } from '../../site/page/json.js';
import { linkFor, planFrom } from '../../site/page/share.js';
import { openStore } from '../../site/page/store.js';
import { Faulty } from './faults.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));
const siteDir = process.env.SITE_DIR ?? join(root, 'site/dist');
const corpusDir = (what) => join(root, 'tests/cases/corpus', what);

const core = await import(pathToFileURL(join(siteDir, 'bastwork-wasm.js')).href);
core.initSync({ module: gunzipSync(await read(join(siteDir, 'bastwork-wasm_bg.bin'))) });

/** Draws that are the same for a seed (the mixing of 32 bits is Marsaglia's xorshift, 2003, Journal of Statistical Software 8, 14). */
export function dice(seed) {
  let state = (seed * 2_654_435_761 + 1) >>> 0 || 1;
  const any = () => {
    state ^= state << 13;
    state >>>= 0;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state;
  };
  const below = (count) => any() % Math.max(count, 1);
  return { any, below, of: (list) => list[below(list.length)], once: (times) => below(times) === 0, few: () => 1 + Math.min(4, Math.clz32(any())), many: (most) => 1 + below(Math.min(most, 1 << below(Math.ceil(Math.log2(most)) + 1))) };
}

const NOISE = [null, true, false, 0, -0, 1, -1, 0.5, 1e308, 5e-324, 2 ** 31, 2 ** 32, 2 ** 53 + 2, 1e400, '', ' ', '0', '1e999', 'NaN', '\u0000', '\u202e', '\ud800', '\u{1f33f}', '__proto__', 'constructor', 'toString', 'length', 'x'.repeat(5000), [], {}, [null], [[]], { __proto__: null, a: 1 }, { likely: 3 }, { length: 3 }, { toString: 1 }, { name: { name: 1 } }];
const NAMES = ['format', 'id', 'name', 'note', 'stack', 'part', 'resin', 'fill', 'lines', 'saved', 'stamps', 'astray', 'bastwork', 'plans', 'own', 'aside', 'newer', 'fabrics', 'resins', 'tools', 'stock', 'learned', 'cloths', 'drafts', 'money', 'text', 'key', 'why', 'version', '__proto__', 'constructor', 'prototype', 'toString', 'hasOwnProperty', '', '0', 'roof'];

/** Every place of a document, as keys. */
function places(document) {
  const found = [];
  const open = [[[], document]];
  while (open.length > 0 && found.length < 4000) {
    const [way, here] = open.pop();
    found.push(way);
    if (typeof here === 'object' && here !== null) for (const key of Object.keys(here)) open.push([[...way, key], here[key]]);
  }
  return found;
}
const at = (document, way) => way.reduce((here, key) => here?.[key], document);

/** A document with a few slips; its text may hold what no object can, such as a key twice. */
function slipped(draw, document, other) {
  let copy = structuredClone(document);
  for (let n = draw.few(); n > 0; n -= 1) {
    const way = draw.of(places(copy));
    const value = draw.once(2) ? structuredClone(draw.of(NOISE)) : structuredClone(at(other, draw.of(places(other))));
    if (way.length === 0) {
      if (draw.once(20)) copy = value;
      else if (isRecord(copy)) copy[draw.of(NAMES.slice(0, -4))] = value;
      continue;
    }
    const [above, last] = [at(copy, way.slice(0, -1)), way.at(-1)];
    if (typeof above !== 'object' || above === null) continue;
    const set = (key, of) => Object.defineProperty(above, key, { value: of, enumerable: true, configurable: true, writable: true });
    switch (draw.below(9)) {
      case 0: if (Array.isArray(above)) above.splice(Number(last), 1); else delete above[last]; break;
      case 1: if (Array.isArray(above)) above.splice(Number(last), 0, ...Array(draw.many(300)).fill(above[last])); else set(draw.of(NAMES), above[last]); break;
      case 2: if (Array.isArray(above)) above.reverse(); else set(draw.of(NAMES), value); break;
      case 3: {
        let inner = above[last];
        for (let deep = draw.many(3000); deep > 0; deep -= 1) inner = draw.once(2) ? [inner] : { likely: inner };
        set(last, inner);
        break;
      }
      case 4: if (typeof above[last] === 'number') set(last, above[last] * draw.of([-1, 0, 1e3, 1e-3, 1e300])); else set(last, value); break;
      default: set(last, value);
    }
  }
  return copy;
}

/** A text with a few slips: pieces that are cut out, doubled, moved or taken from another. */
function garbled(draw, text, other) {
  let now = text;
  for (let n = draw.few(); n > 0; n -= 1) {
    const from = draw.below(now.length + 1);
    const to = Math.min(now.length, from + draw.many(Math.max(2, now.length)));
    switch (draw.below(6)) {
      case 0: now = now.slice(0, from) + now.slice(to); break;
      case 1: now = now.slice(0, to) + now.slice(from, to).repeat(Math.min(draw.many(200), Math.ceil(20_000 / (to - from + 1)))) + now.slice(to); break;
      case 2: now = now.slice(0, from); break;
      case 3: now = now.slice(0, from) + other.slice(draw.below(other.length)).slice(0, draw.many(200)) + now.slice(from); break;
      case 4: now = now.slice(0, from) + draw.of(['"', '{', '}', '[', ']', ',', ':', '\\', '\\u0000', '1e999', '-', '=', '+', '/', '%', ' ', '\ufeff', '#', 'null', '9', 'A']) + now.slice(from); break;
      default: now = now.slice(0, from) + String.fromCharCode(32 + draw.below(draw.once(5) ? 60_000 : 95)) + now.slice(from + 1);
    }
  }
  return now.slice(0, 600_000);
}

const textOf = (value) => { try { return JSON.stringify(value) ?? 'null'; } catch { return 'null'; } };
const packed = (text, form = '1') => `${form}${(form === '1' ? deflateRawSync(text) : Buffer.from(text)).toString('base64url')}`;
const bones = (text) => String(text).replace(/"[^"]*"/g, '""').replace(/\d[\d.,]*/g, '#');

/** Holds a sentence to what a person can read. */
function readable(sentence, found = '') {
  if (typeof sentence !== 'string' || sentence.trim().length < 10) throw new Error(`no sentence: ${sentence}`);
  if (sentence.length > 1500) throw new Error(`a sentence of ${sentence.length} letters: ${sentence.slice(0, 200)}`);
  // What was typed is told as it was typed.
  const own = (found ? sentence.replaceAll(found, '') : sentence).replace(/"[^"]*"/g, '');
  for (const word of [/\[object/, /\bundefined\b/, /\bNaN\b/, /\bnull\b/, /\b(?:error|invalid)\b/i]) if (word.test(own)) throw new Error(`${word} in ${sentence.slice(0, 300)}`);
  return bones(sentence);
}

/** The sheet of a plan, or its problems: the core stands, and says something. */
function asked(plan, own = null) {
  const held = door.held(core, plan);
  const { sheet, problems } = core.sheet(held, own);
  if (!sheet && !(problems?.length > 0)) throw new Error('neither a sheet nor a problem');
  return sheet ? ['sheet'] : problems.map(({ field, value, sentence }) => `${bones(field)} ${readable(sentence, value)}`);
}

const KINDS = {
  link: {
    ending: '.txt',
    async seeds(plans) {
      const links = await Promise.all(plans.map((plan) => linkFor(plan)));
      return [...links.map((link) => link.slice(link.indexOf('#') + 1)), ...plans.map((plan) => packed(JSON.stringify(plan), '0')), '', '2', '1', '0', packed('x'.repeat(3_000_000))];
    },
    async slip(draw, one, other) {
      if (draw.once(3)) return garbled(draw, one, other);
      const [found, more] = [await planFrom({ hash: one }), await planFrom({ hash: other })];
      if (!found?.plan) return garbled(draw, one, other);
      const text = textOf(slipped(draw, found.plan, more?.plan ?? found.plan));
      return packed(draw.once(6) ? garbled(draw, text, text) : text, draw.of(['0', '1', '1']));
    },
    /** A plan or a sentence; a plan comes back from its own link, and the core takes it. */
    async ask(hash) {
      const found = await planFrom({ hash: `#${hash}` });
      if (found === null) return ['nothing'];
      if ('sentence' in found) return [readable(found.sentence)];
      const { plan } = found;
      if (!isPlan(plan)) throw new Error('what came is no plan');
      if (canonical(plan).length > 2 * planBytes) throw new Error('a plan larger than a plan can be');
      if (plan.polluted !== undefined || {}.polluted !== undefined) throw new Error('a prototype was reached');
      const again = await planFrom({ hash: new URL(await linkFor(plan, null, 'https://a.test/')).hash });
      const { saved: _, ...rest } = plan;
      if (!again?.plan || canonical(again.plan) !== canonical(rest)) {
        if (JSON.stringify(rest).length <= planBytes) throw new Error('the way to a link and back changes it');
      }
      return asked(plan);
    },
  },
  backup: {
    ending: '.json',
    async seeds(plans) {
      const shop = (more) => JSON.stringify({ bastwork: 1, exported: '2026-05-01T10:00:00.000Z', plans: plans.slice(0, 4), own: OWN, aside: [{ key: 'bastwork.plan.a', set_aside: '', text: '{half', why: 'It was cut off.' }], newer: ['{"version":2}'], ...more });
      return [shop({}), shop({ own: null }), shop({ plans: [] }), shop({ bastwork: 2 }), JSON.stringify(plans[0]), JSON.stringify({ ...plans[0], format: 2 }), '', 'not JSON', '[]'];
    },
    async slip(draw, one, other) {
      if (draw.once(6)) return garbled(draw, one, other);
      const parsed = (text) => { try { return JSON.parse(text); } catch { return {}; } };
      return textOf(slipped(draw, parsed(one), parsed(other)));
    },
    /** What was here before stays as it was; what comes in can be used; the rest is told; all of it goes out again in a backup. */
    async ask(text) {
      const said = [];
      const storage = new Faulty();
      let clock = Date.parse('2026-05-01T10:00:00Z');
      const visit = () => openStore({ say: (sentence) => said.push(sentence), core, door: () => door, storage, now: () => (clock += 7), tabs: new EventTarget() });
      const store = visit();
      store.own();
      store.save({ format: 1, id: 'roof', name: 'Mine', stack: [{ fabric: 'flax_twill_300', count: 3 }], note: 'here before' });
      store.saveOwn({ format: 1, fabrics: { mine: CLOTH }, learned: { moisture_scale: 0.7 } });
      const { plans, sentences } = await readFile(new File([text], 'backup.json'), store, core);
      if (sentences.length === 0) throw new Error('nothing is said');
      const told = sentences.map((sentence) => readable(sentence));
      if (store.peek('roof')?.note !== 'here before') throw new Error('what was here before is gone');
      // The next visit.
      const next = visit();
      const own = next.own();
      if (own?.fabrics?.mine?.name !== CLOTH.name || own.learned?.moisture_scale !== 0.7) throw new Error('the own shelf of before is gone');
      if (core.check_shelf(own).length > 0) throw new Error('an own shelf that the core cannot read came in');
      const listed = next.plans();
      for (const { id, name } of listed.slice(0, 6)) {
        if (typeof name !== 'string') throw new Error(`a name that is ${typeof name}`);
        const plan = next.plan(id);
        if (plan === null) throw new Error('a plan of the list that is not there');
        told.push(...asked(plan, own));
      }
      for (const plan of plans) if (!next.has(plan.id)) throw new Error('a plan was told to be in, and is not');
      // All of it on another device.
      const elsewhere = openStore({ say() {}, core, door: () => door, storage: new Faulty(), now: () => (clock += 7), tabs: new EventTarget() });
      await readFile(new File([await shopFile(next).text()], 'again.json'), elsewhere, core);
      const jobs = (from) => from.plans().map(({ id }) => canonical({ ...from.peek(id), saved: null, id: null, name: null })).sort();
      if (canonical(jobs(elsewhere)) !== canonical([...new Set(jobs(next))].sort()) && new Set(jobs(elsewhere)).size !== new Set(jobs(next)).size) throw new Error('the way through a backup loses a plan');
      return [...told, ...said.map((sentence) => readable(sentence)), `plans ${Math.ceil(Math.log2(listed.length + 1))}`];
    },
  },
};

const CLOTH = { name: 'Shed cloth', kind: 'cloth', fibre: 'flax', architecture: 'twill', areal_mass_g_m2: 310 };
const OWN = {
  format: 1, fabrics: { sail: { ...CLOTH, name: 'Sail' } }, stock: { flax_twill_300: { price: 18, left: 2 } }, learned: { moisture_scale: 0.66, cloths: { flax_twill_300: { permeability_m2: 5e-11 } } },
  resins: { can: { name: 'Can', hardener_per_100: 33, density_resin_g_ml: 1.13, density_hardener_g_ml: 0.98, density_cured_g_cm3: 1.14, viscosity_mpa_s: 420, viscosity_at_c: 20, pot_life_min: 70, pot_life_g: 150, pot_life_c: 20, pot_life_meaning: 'ten_degrees', tg_ultimate_c: 84, modulus_gpa: 3 } },
  tools: { blade: { name: 'Blade', action: 'cutting_wheel', diameter_mm: 76, advised_m_s: 25, kerf_mm: 1.1, wander_mm: 0.8 } }, money: 'EUR', drafts: { cloth: { name: 'half', units: 'metric', words: {}, texts: { areal_mass_g_m2: '3' } } },
};

/** What is kept of a kind. */
export async function corpus(what) {
  const names = await readdir(corpusDir(what)).catch(() => []);
  return Promise.all(names.sort().map(async (name) => ({ name, text: await read(join(corpusDir(what), name), 'utf8') })));
}

/** Hands one input to the page. */
export const ask = (what, text) => KINDS[what].ask(text);

/** The smallest text found that does the same harm. */
async function smallest(what, text, harm) {
  const same = (one) => KINDS[what].ask(one).then(() => false, (why) => bones(why.message) === harm);
  let now = text;
  for (let piece = now.length >> 1, tries = 0; piece >= 1 && tries < 1500; piece >>= 1) {
    for (let from = 0; from < now.length && tries < 1500;) {
      const fewer = now.slice(0, from) + now.slice(from + piece);
      tries += 1;
      if (await same(fewer)) now = fewer;
      else from += piece;
    }
  }
  return now;
}

/**
 * Tries so many inputs, or for so long.
 * @param {string} what
 * @param {{ seed?: number, count?: number, minutes?: number }} options
 */
export async function hunt(what, { seed = 1, count = Infinity, minutes = Infinity }) {
  const kind = KINDS[what];
  const draw = dice(seed);
  const folder = join(root, 'examples');
  const plans = await Promise.all((await readdir(folder)).filter((name) => name.endsWith('.json')).sort().map(async (name) => JSON.parse(await read(join(folder, name), 'utf8'))));
  const pool = [];
  const marks = new Set();
  const harms = new Map();
  let tried = 0;
  const attempt = async (text, given) => {
    tried += 1;
    try {
      const told = await kind.ask(text);
      const before = marks.size;
      told.forEach((mark) => marks.add(mark));
      if (given || marks.size > before) pool.push(text);
    } catch (why) {
      const harm = bones(why.message);
      if (!harms.has(harm)) harms.set(harm, { what: why.message, text });
    }
  };
  for (const { text } of await corpus(what)) await attempt(text, true);
  for (const text of await kind.seeds(plans)) await attempt(text, true);
  const from = performance.now();
  const done = () => tried >= count || (performance.now() - from) / 60_000 >= minutes;
  while (!done()) {
    const late = draw.once(3) ? Math.max(0, pool.length - 1 - draw.below(30)) : draw.below(pool.length);
    await attempt(await kind.slip(draw, pool[late] ?? '', draw.of(pool) ?? ''), false);
  }
  const seconds = (performance.now() - from) / 1000;
  return { tried, seconds, marks: marks.size, pool, harms: [...harms].map(([harm, found]) => ({ harm, ...found })) };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const given = Object.fromEntries(process.argv.slice(2).flatMap((word, n, all) => (word.startsWith('--') ? [[word.slice(2), all[n + 1]]] : [])));
  const what = given.what ?? 'link';
  const { tried, seconds, marks, pool, harms } = await hunt(what, { seed: Number(given.seed ?? 1), minutes: Number(given.minutes ?? 1) });
  console.log(`${what}: ${tried} tried in ${(seconds / 60).toFixed(1)} min, ${Math.round(tried / seconds)} a second, ${marks} marks, ${pool.length} inputs at hand, ${harms.length} kinds of harm`);
  const write = async (dir, text) => {
    await mkdir(dir, { recursive: true });
    const sum = [...text].reduce((all, letter) => (Math.imul(all, 33) ^ letter.codePointAt(0)) >>> 0, 5381);
    const path = join(dir, `${sum.toString(16).padStart(8, '0')}${KINDS[what].ending}`);
    await writeFile(path, text);
    return path;
  };
  for (const { harm, what: told, text } of harms) console.log(`  ${told}\n    ${await write(join(root, 'target/fuzz', what), await smallest(what, text, harm))}`);
  const heard = new Set();
  for (const { text } of await corpus(what)) for (const mark of await ask(what, text).catch(() => [])) heard.add(mark);
  let kept = 0;
  for (const text of pool.sort((a, b) => a.length - b.length)) {
    if (kept >= Number(given.keep ?? 0) || text.length > 4096) break;
    const told = await ask(what, text);
    if (told.every((mark) => heard.has(mark))) continue;
    told.forEach((mark) => heard.add(mark));
    await write(corpusDir(what), text);
    kept += 1;
  }
  process.exitCode = 0;
}
