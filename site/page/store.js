// Keeps plans, the shop's own shelf and what was deleted last in this browser, and says plainly when it cannot.
//
// One key a plan; every value carries its version. What cannot be read is set aside, never deleted or overwritten.
import { canonical, isRecord, readJson } from './json.js';
import { openKeep } from './keep.js';
import { join } from './join.js';
import * as words from './storewords.js';

/**
 * @typedef {{ id: string, name: string, saved: string }} Row
 * @typedef {{ kept: boolean, sentence?: string }} Kept
 * @typedef {Kept & { id: string, name: string }} Saved The id and name under which it now is: a copy kept beside has others.
 * @typedef {{ kind: 'plan' | 'removed' | 'own' | 'all', id: string | null }} OtherTab
 * @typedef {ReturnType<typeof openStore>} Store
 */

const VERSION = 1;
const PLAN = 'bastwork.plan.';
const ASIDE = 'bastwork.aside.';
const INDEX = 'bastwork.index';
const OWN = 'bastwork.own';
const CURRENT = 'bastwork.current';
const BIN = 'bastwork.bin';
const BACKUP = 'bastwork.backup';
const DAY = 86_400_000;
/** Days until a backup is old, and until a deleted plan is gone. */
const BACKUP_DAYS = 14;
const BIN_DAYS = 30;

/**
 * @param {object} options
 * @param {(sentence: string) => void} options.say Shows a sentence that nobody asked for.
 * @param {any} [options.core] Reads what is on the own shelf; what it cannot read is set aside.
 * @param {() => any} [options.door] The part that sets it aside, once it is here.
 * @param {Storage | null} [options.storage] The browser's own when left out.
 * @param {() => number} [options.now] Milliseconds since 1970.
 * @param {EventTarget} [options.tabs] Where `storage` events arrive.
 */
export function openStore({ say, core = null, door = () => null, storage, now = Date.now, tabs = globalThis }) {
  const keep = openKeep(storage);
  /** What each plan's key held when this tab last read or wrote it. @type {Map<string, string | null>} */
  const seen = new Map();
  /** What this tab wrote last, while no other tab has written. @type {Map<string, string>} */
  const wrote = new Map();
  /** What this tab tried to write last, when it could not be sure that it is there. @type {Map<string, string>} */
  const tried = new Map();
  /** Where this tab's copy of a plan went when another tab had changed the plan. @type {Map<string, { id: string, from: string, name: string }>} */
  const moved = new Map();
  /** Ids whose newest text is only in memory; '' stands for the own shelf. @type {Set<string>} */
  const waiting = new Set();
  /** Entries of the own shelf that cannot be read and for which there is no room apart: until there is, the shelf is not written over. @type {import('./door.js').Bad[]} */
  let rotten = [];
  /** Keys whose text cannot be read and could not be moved. @type {Set<string>} */
  const stuck = new Set();
  /** @type {((change: OtherTab) => void)[]} */
  const listeners = [];
  /** The list of plans as this tab saw it last, and whether there was an own shelf. @type {Row[]} */
  let last = [];
  let lastOwn = false;
  /** Plans that were deleted here or in another tab, the newest last. @type {string[]} */
  let removed = [];
  /** @type {string | null | undefined} */
  let open;
  let asked = false;

  const stamp = () => new Date(now()).toISOString();
  const pack = (/** @type {object} */ value) => JSON.stringify({ version: VERSION, ...value });
  const unpack = (/** @type {string | null} */ text) => {
    const value = readJson(text);
    return isRecord(value) ? value : null;
  };
  /** @returns {Record<string, any>} */
  const backup = () => unpack(keep.read(BACKUP)) ?? {};
  const noRoom = () => (keep.mode === 'memory' ? words.memory : words[keep.trouble() ?? 'full']);
  const mine = (/** @type {string} */ id, /** @type {string} */ there) => there === seen.get(id) || there === tried.get(id);

  /** The value of a key, after setting aside what cannot be read; null when there is none or it is not for this version. */
  function value(/** @type {string} */ key, /** @type {string} */ field, text = keep.read(key)) {
    if (text === null) return null;
    const held = unpack(text);
    if (held && typeof held.version === 'number' && held.version > VERSION) return null;
    if (held?.version === VERSION && isRecord(held[field])) return held;
    if (!stuck.has(key)) {
      setAside(key, text);
      say(words.setAside(1));
    }
    return null;
  }

  /** Writes a text down apart; false when there is no room. */
  function apart(/** @type {string} */ key, /** @type {string} */ text, why = '', moved = false) {
    let slot = now();
    while (keep.read(ASIDE + slot) !== null) slot += 1;
    const kept = keep.write(ASIDE + slot, pack({ key, set_aside: stamp(), text, why, ...(moved && { moved }) })) || keep.write(ASIDE + slot, text);
    if (!kept && keep.mode !== 'memory') keep.forget(ASIDE + slot);
    return kept;
  }

  /** Moves a text that cannot be read out of the way; false when there is no room and it stays where it is. */
  function setAside(/** @type {string} */ key, /** @type {string} */ text, why = '') {
    // First the copy: a tab may end between the two.
    if (apart(key, text, why, true)) {
      keep.remove(key);
      return true;
    }
    stuck.add(key);
    return false;
  }

  /** @returns {Row[]} */
  function rows() {
    const index = unpack(keep.read(INDEX));
    const listed = Array.isArray(index?.plans) ? index.plans.filter(isRow) : [];
    if (Array.isArray(index?.removed)) removed = [...new Set([...removed, ...index.removed])].slice(-100);
    /** @type {Map<string, Row>} */
    const known = new Map(listed.map((/** @type {Row} */ row) => [row.id, row]));
    const ids = keep.keys(PLAN).map((key) => key.slice(PLAN.length));
    const found = ids.map((id) => known.get(id) ?? rowOf(id)).filter((row) => row !== null);
    found.sort((a, b) => b.saved.localeCompare(a.saved));
    const owned = keep.read(OWN) !== null;
    // What cannot be read just now is not gone.
    if (keep.trouble() === 'unread') return found;
    // This tab knows what was on the list, where the list too is gone.
    const once = new Map([...last, ...listed].map((row) => [row.id, row]));
    const gone = [...once.values()].filter(({ id }) => !ids.includes(id) && !removed.includes(id) && !movedAside(PLAN + id)).map(({ name }) => name);
    if ((index?.own ?? lastOwn) && !owned && !movedAside(OWN)) gone.push(words.ownShelf);
    if (gone.length > 0) say(words.gone(gone));
    last = found;
    lastOwn = owned;
    if (found.length !== known.size || found.some(({ id }) => !known.has(id)) || index?.own !== owned) keep.write(INDEX, pack({ plans: found, own: owned, removed }));
    return found;
  }

  function rowOf(/** @type {string} */ id) {
    const held = value(PLAN + id, 'plan');
    return held && { id, name: words.nameOf(held.plan), saved: String(held.saved ?? '') };
  }

  function list(/** @type {string} */ id, /** @type {Row | null} */ row) {
    const others = rows().filter((other) => other.id !== id);
    last = row ? [row, ...others] : others;
    if (row) removed = removed.filter((gone) => gone !== id);
    keep.write(INDEX, pack({ plans: last, own: lastOwn, removed }));
  }

  /** Writes a plan under its id, or beside it when another tab has written something else there. @returns {Saved} */
  function save(/** @type {Record<string, any>} */ plan) {
    const wanted = isId(plan.id) ? plan.id : newId();
    const away = moved.get(wanted);
    let id = away?.id ?? wanted;
    let name = away && plan.name === away.from ? away.name : plan.name;
    let sentence;
    /** @type {Record<string, any>} */
    let content = { ...plan, id, name };
    const there = keep.stored(PLAN + id);
    if (there === undefined) {
      // What cannot be read may be another tab's: nothing is written over it.
      keep.hold(PLAN + id, pack({ saved: stamp(), plan: content }));
      waiting.add(id);
      return adopt(plan, { kept: false, id, name: words.nameOf(content), sentence: words.unread });
    }
    if (there !== null) {
      const theirs = unpack(there);
      const same = theirs?.version === VERSION && isRecord(theirs.plan) && alike(theirs.plan, content);
      if (same) {
        seen.set(id, there);
        waiting.delete(id);
        keep.forget(PLAN + id);
        return adopt(plan, { kept: keep.mode !== 'memory', id, name: words.nameOf(content), ...(keep.mode === 'memory' && { sentence: words.memory }) });
      }
      const readable = theirs && (theirs.version > VERSION || isRecord(theirs.plan));
      if (!mine(id, there) && (readable || !setAside(PLAN + id, there))) {
        wrote.delete(id);
        waiting.delete(id);
        keep.forget(PLAN + id);
        [id, name] = [newId(), words.copyName(words.nameOf(plan), rows())];
        moved.set(wanted, { id, from: plan.name, name });
        content = { ...plan, id, name };
        sentence = words.beside(name);
      }
    }
    const saved = stamp();
    content.saved = saved;
    const text = pack({ saved, plan: content });
    tried.set(id, text);
    const kept = keep.write(PLAN + id, text) && keep.mode !== 'memory';
    if (kept || keep.mode === 'memory') {
      seen.set(id, text);
      wrote.set(id, text);
      waiting.delete(id);
    } else waiting.add(id);
    list(id, { id, name: words.nameOf(content), saved });
    if (!backup().since) keep.write(BACKUP, pack({ ...backup(), since: saved }));
    if (globalThis.navigator?.userActivation?.isActive) void askToPersist();
    return adopt(plan, { kept, id, name: words.nameOf(content), ...((sentence || !kept) && { sentence: [sentence, kept ? '' : noRoom()].filter(Boolean).join(' ') }) });
  }

  /** @returns {Kept} */
  function saveOwn(/** @type {Record<string, any>} */ document) {
    const there = keep.stored(OWN);
    if (there === undefined || !stowed()) {
      keep.hold(OWN, pack({ saved: stamp(), own: document }));
      waiting.add('');
      return { kept: false, sentence: there === undefined ? words.unread : noRoom() };
    }
    const theirs = unpack(there);
    let own = document;
    let sentence;
    if (there !== null && !mine(OWN, there)) {
      if (theirs && theirs.version > VERSION) return { kept: false, sentence: words.newer };
      if (isRecord(theirs?.own)) {
        const both = join(own, theirs.own);
        own = both.own;
        if (both.added > 0) sentence = words.ownJoined;
      } else if (!setAside(OWN, there)) return { kept: false, sentence: words.full };
    }
    const text = pack({ saved: stamp(), own });
    tried.set(OWN, text);
    const kept = keep.write(OWN, text) && keep.mode !== 'memory';
    if (kept || keep.mode === 'memory') {
      seen.set(OWN, text);
      waiting.delete('');
      rows();
    } else waiting.add('');
    return { kept, ...((sentence || !kept) && { sentence: [sentence, kept ? '' : noRoom()].filter(Boolean).join(' ') }) };
  }

  /** Tries again to store what had no room. */
  function retry() {
    for (const id of [...waiting]) {
      const held = unpack(keep.read(id ? PLAN + id : OWN));
      const { kept, sentence } = id ? save(held?.plan) : saveOwn(held?.own);
      if (kept && sentence) say(sentence);
    }
  }

  /** Opens a plan in this tab: from here on, saving it replaces what is kept now. */
  function plan(/** @type {string} */ id) {
    moved.delete(id);
    const document = peek(id);
    const there = keep.stored(PLAN + id);
    // Only what was read and is on the bench may be written over.
    if (document && there !== undefined) seen.set(id, there);
    return document;
  }

  /** The plan as it is kept now, for a look only: unlike `plan`, it does not count as opening it here. */
  const peek = (/** @type {string} */ id) => value(PLAN + id, 'plan')?.plan ?? null;
  const has = (/** @type {string} */ id) => keep.read(PLAN + id) !== null;
  /** The own shelf; null when there is none, undefined when it cannot be read just now. @returns {Record<string, any> | null | undefined} */
  function peekOwn() {
    const text = keep.look(OWN);
    if (text === undefined) return undefined;
    // What was erased from outside is still known here.
    return value(OWN, 'own', text ?? seen.get(OWN) ?? null)?.own ?? null;
  }

  /** The own shelf, without what the core cannot read: that is set aside, entry by entry. */
  function own() {
    const there = keep.stored(OWN);
    const document = peekOwn() ?? null;
    // Only what was read may be written over: the rest is joined.
    if (document && there) seen.set(OWN, there);
    else seen.delete(OWN);
    if (!document || !core) return document;
    const part = door();
    if (!part) {
      if (!odd()) return document;
      // Nothing is written over it until the part that reads it entry by entry is here.
      rotten = [{ path: '', name: '', text: JSON.stringify({ bastwork: 1, own: document }), why: '' }];
      return null;
    }
    const { own: good, bad } = part.sift(core, document);
    rotten = bad;
    if (bad.length > 0) {
      for (const sentence of part.sifted(bad)) say(sentence);
      saveOwn(good);
    }
    return good;
  }

  /** Whether the core cannot read all of the own shelf. */
  const odd = () => core.check_shelf(peekOwn() ?? null).length > 0;

  /** Whether all of the own shelf that cannot be read has its place apart. */
  function stowed() {
    rotten = rotten.filter(({ text, path, why }) => !addAside(text, `own.${path}`, why));
    return rotten.length === 0;
  }

  function bin() {
    const held = value(BIN, 'plan');
    if (!held) return null;
    if (!(now() - Date.parse(held.removed) < BIN_DAYS * DAY)) {
      keep.remove(BIN);
      return null;
    }
    return { name: words.nameOf(held.plan), removed: String(held.removed), undo: () => undo(held) };
  }

  function undo(/** @type {Record<string, any>} */ held) {
    const saved = save(held.plan);
    if (saved.kept && unpack(keep.read(BIN))?.removed === held.removed) keep.remove(BIN);
    return saved;
  }

  function remove(/** @type {string} */ id) {
    const held = value(PLAN + id, 'plan');
    for (const gone of [seen, wrote, tried, moved, waiting]) gone.delete(id);
    if (!held) return { sentence: '', undo: () => null };
    const binned = { removed: stamp(), plan: held.plan };
    // The way back first: a tab may end between the two.
    const early = keep.write(BIN, pack(binned));
    removed.push(id);
    list(id, null);
    const gone = keep.remove(PLAN + id);
    if (current() === id) setCurrent(null);
    const kept = (early || keep.write(BIN, pack(binned))) && keep.mode !== 'memory';
    retry();
    return { sentence: gone ? words.removed(words.nameOf(held.plan), kept) : words.stays(words.nameOf(held.plan)), undo: () => undo(binned) };
  }

  /** @returns {string | null} */
  function current() {
    if (open === undefined) open = unpack(keep.read(CURRENT))?.id ?? null;
    return typeof open === 'string' && keep.read(PLAN + open) !== null ? open : null;
  }

  function setCurrent(/** @type {string | null} */ id) {
    open = id;
    keep.write(CURRENT, pack({ id }));
  }

  /** @returns {{ sentence: string | null, kind: 'memory' | 'full' | 'backup' | 'kept' }} */
  function standing() {
    if (keep.mode === 'memory') return { kind: 'memory', sentence: words.memory };
    if (waiting.size > 0) return { kind: 'full', sentence: noRoom() };
    const { since, exported } = backup();
    const days = (now() - Date.parse(exported ?? since)) / DAY;
    const changes = [...rows().map((row) => row.saved), String(unpack(keep.read(OWN))?.saved ?? '')];
    const changed = exported === undefined ? rows().length > 0 : changes.some((saved) => saved > exported);
    if (days > BACKUP_DAYS && changed) return { kind: 'backup', sentence: words.backup(exported === undefined ? null : Math.floor(days)) };
    return { kind: 'kept', sentence: null };
  }

  /** Asks the browser, once and for good, not to clear this page's store by itself; call it from a tap. */
  async function askToPersist() {
    if (asked || keep.mode === 'memory') return false;
    asked = true;
    try {
      const manager = globalThis.navigator?.storage;
      if (await manager?.persisted?.()) return true;
      if (backup().asked) return false;
      keep.write(BACKUP, pack({ ...backup(), asked: stamp() }));
      return (await manager?.persist?.()) ?? false;
    } catch {
      return false;
    }
  }

  function exported() {
    keep.write(BACKUP, pack({ ...backup(), exported: stamp() }));
  }

  /** The id of a plan that says the same, whatever its own id; null when there is none. */
  function like(/** @type {Record<string, any>} */ plan) {
    const said = (/** @type {Record<string, any>} */ one) => canonical({ ...(door()?.held(core, one) ?? one), id: null, saved: null });
    const text = said(plan);
    return rows().map(({ id }) => id).find((id) => said(peek(id) ?? {}) === text) ?? null;
  }

  /** Everything set aside, as text; `slot` is the key under which it is kept. */
  function asides() {
    const unmoved = [...stuck].map((key) => ({ slot: key, key, set_aside: '', text: keep.read(key) ?? '', why: '' }));
    return [...unmoved, ...keep.keys(ASIDE).sort().map((slot) => {
      const text = keep.read(slot) ?? '';
      const held = unpack(text);
      return typeof held?.text === 'string'
        ? { slot, key: String(held.key), set_aside: String(held.set_aside), text: held.text, why: typeof held.why === 'string' ? held.why : '' }
        : { slot, key: slot, set_aside: '', text, why: '' };
    })];
  }
  /** Whether this page itself moved the text of a key out of the way. */
  const movedAside = (/** @type {string} */ key) => keep.keys(ASIDE).map((slot) => unpack(keep.read(slot))).some((held) => held?.moved === true && held.key === key);

  /** Takes what cannot be read, from a file or the own shelf; false when there is no room for it. `key` tells only where it was. */
  function addAside(/** @type {string} */ text, key = '', why = '') {
    return asides().some((aside) => aside.text === text) || apart(typeof key === 'string' && key ? key.slice(0, 200) : 'import', text, why);
  }

  /** Deletes something that is set aside, with a way back. */
  function dropAside(/** @type {string} */ slot) {
    const text = keep.read(slot);
    keep.remove(slot);
    stuck.delete(slot);
    retry();
    return () => { if (text !== null) keep.write(slot, text); };
  }

  /** Sets a plan aside that the page cannot show; false when there is no room and it stays where it is. */
  function setPlanAside(/** @type {Record<string, any>} */ plan) {
    const key = PLAN + plan.id;
    return setAside(key, keep.read(key) ?? pack({ plan }));
  }

  /** What a newer Bastwork wrote and this one leaves alone, as text. */
  function newer() {
    return [...keep.keys(PLAN), OWN].map((key) => keep.read(key)).filter((text) => unpack(text)?.version > VERSION);
  }

  function heard(/** @type {StorageEvent} */ event) {
    if (event.storageArea && storage && event.storageArea !== storage) return;
    const { key } = event;
    if (key === null) tell({ kind: 'all', id: null });
    else if (key === OWN) tell({ kind: 'own', id: null });
    else if (key.startsWith(PLAN)) {
      const id = key.slice(PLAN.length);
      const ours = wrote.get(id);
      wrote.delete(id);
      // Both tabs wrote in the same instant: the other did not see ours, which would now be gone.
      if (ours && event.newValue && event.newValue !== ours && event.oldValue !== ours) {
        const rescued = save(unpack(ours)?.plan);
        if (rescued.sentence) say(rescued.sentence);
      }
      tell({ kind: event.newValue === null ? 'removed' : 'plan', id });
    }
  }

  function tell(/** @type {OtherTab} */ change) {
    listeners.forEach((listener) => listener(change));
  }

  const broken = [...keep.keys(PLAN).map((key) => [key, 'plan']), [OWN, 'own'], [BIN, 'plan']].filter(([key, field]) => {
    const text = keep.read(key);
    const held = unpack(text);
    if (text === null || held?.version > VERSION || (held?.version === VERSION && isRecord(held?.[field]))) return false;
    setAside(key, text);
    return true;
  });
  if (broken.length > 0) say(words.setAside(broken.length));
  if (newer().length > 0) say(words.newer);
  if (keep.mode === 'memory') say(words.memory);
  if (keep.mode === 'full') say(noRoom());
  rows();
  bin();
  if (keep.trouble() === 'unread') say(words.unread);
  tabs.addEventListener?.('storage', /** @type {EventListener} */ (heard));

  return {
    plans: rows, plan, peek, has, like, save, remove, own, peekOwn, saveOwn, current, setCurrent, standing, askToPersist, bin, exported, asides, addAside, dropAside, setPlanAside, newer, odd,
    /** Whether all that was saved here would be there after a reload. */
    safe: () => (keep.mode === 'memory' ? rows().length === 0 && peekOwn() === null : waiting.size === 0),
    /** Where plans live, for a reader who wants to know. */
    where: () => (keep.mode === 'memory' ? words.memory : words.where),
    onOtherTab(/** @type {(change: OtherTab) => void} */ listener) { listeners.push(listener); },
  };
}

/** The page's own plan object follows the id and name under which it is kept. @param {Record<string, any>} plan @param {Saved} saved */
function adopt(plan, saved) {
  if (plan.id !== saved.id) {
    Reflect.set(plan, 'id', saved.id);
    if (words.nameOf(plan) !== saved.name) Reflect.set(plan, 'name', saved.name);
  }
  return saved;
}

/** @param {Record<string, any>} a @param {Record<string, any>} b */
function alike(a, b) {
  return canonical({ ...a, saved: null }) === canonical({ ...b, saved: null });
}

/** @param {unknown} id @returns {id is string} */
export function isId(id) {
  return typeof id === 'string' && /^[\w.-]{1,64}$/.test(id);
}

/** @param {unknown} row @returns {row is Row} */
function isRow(row) {
  return isRecord(row) && isId(row.id) && typeof row.name === 'string' && typeof row.saved === 'string';
}

/** Twelve characters of chance; `randomUUID` is missing where the page is served without https. */
export function newId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(12)), (byte) => (byte % 36).toString(36)).join('');
}
