// What is kept, shared and exported: full, blocked, broken and doubly opened stores, hostile links and files. No browser.
import assert from 'node:assert/strict';
import { deflateRawSync } from 'node:zlib';
import { test } from 'node:test';
import { planFile, readFile, shopFile } from '../../site/page/files.js';
import { isPlan, readJson } from '../../site/page/json.js';
import { join, standalone } from '../../site/page/ownshelf.js';
import { linkFor, planFrom } from '../../site/page/share.js';
import { openStore } from '../../site/page/store.js';

const DAY = 86_400_000;
const roof = { format: 1, name: 'Hive roof', part: { area_m2: 0.62 }, stack: [{ fabric: 'flax_twill_300', count: 4, angle_deg: 0 }], resin: 'infusion_epoxy_slow' };
const with_ = (more) => structuredClone({ ...roof, ...more });

/** A store as browsers make it, with room for so many characters, that several tabs look into. */
class FakeStorage {
  room = Infinity;
  texts = new Map();
  tabs = [];
  get length() { return this.texts.size; }
  key(at) { return [...this.texts.keys()][at] ?? null; }
  getItem(key) { return this.texts.get(key) ?? null; }
  setItem(key, text) {
    const old = this.texts.get(key);
    const used = [...this.texts].reduce((sum, [name, held]) => sum + name.length + held.length, 0);
    const more = key.length + text.length - (old === undefined ? 0 : key.length + old.length);
    if (used + more > this.room) throw new DOMException('full', 'QuotaExceededError');
    this.texts.set(key, text);
  }
  removeItem(key) { this.texts.delete(key); }
  get used() { return [...this.texts].reduce((sum, [key, text]) => sum + key.length + text.length, 0); }
  ids() { return [...this.texts.keys()].filter((key) => key.startsWith('bastwork.plan.')); }
}

/** A tab: its store, what it said, and a way to let it hear of another tab. */
function tab(storage, clock = { at: Date.parse('2026-05-01T10:00:00Z') }) {
  const said = [];
  const tabs = new EventTarget();
  const store = openStore({ say: (sentence) => said.push(sentence), storage, now: () => clock.at, tabs });
  const hear = (key, oldValue, newValue) => tabs.dispatchEvent(Object.assign(new Event('storage'), { key, oldValue, newValue, storageArea: storage }));
  return { store, said, hear, clock };
}

test('plans are kept one key each, newest first, and are there for the next visit', () => {
  const storage = new FakeStorage();
  const { store, clock, said } = tab(storage);
  const first = with_({ id: 'roof' });
  assert.equal(store.save(first).kept, true);
  clock.at += 60_000;
  const second = with_({ name: 'Stall counter' });
  const { id } = store.save(second);
  assert.equal(second.id, id, 'a plan without an id is given one');
  assert.deepEqual(store.plans().map(({ name }) => name), ['Stall counter', 'Hive roof']);
  store.setCurrent('roof');

  const next = tab(storage, clock).store;
  assert.deepEqual(next.plans(), store.plans());
  assert.deepEqual({ ...next.plan('roof'), saved: undefined }, { ...first, saved: undefined });
  assert.equal(next.current(), 'roof');
  assert.deepEqual(said, []);
  for (const text of storage.texts.values()) assert.equal(JSON.parse(text).version, 1);
  assert.equal(next.standing().kind, 'kept');
});

test('a lost or broken index is made anew from the plans', () => {
  for (const broken of [null, '{', '{"version":1,"plans":[{"id":"../x"},7]}', '[]']) {
    const storage = new FakeStorage();
    tab(storage).store.save(with_({ id: 'roof' }));
    if (broken === null) storage.removeItem('bastwork.index');
    else storage.setItem('bastwork.index', broken);
    const { store, said } = tab(storage);
    assert.deepEqual(store.plans().map(({ id, name }) => [id, name]), [['roof', 'Hive roof']]);
    assert.equal(JSON.parse(storage.getItem('bastwork.index')).plans.length, 1);
    assert.deepEqual(said, []);
  }
});

test('what cannot be read is set aside with its text, said once, and never overwritten', () => {
  const storage = new FakeStorage();
  tab(storage).store.save(with_({ id: 'good' }));
  storage.setItem('bastwork.plan.bad', '{"version":1,"plan":{"name":"half');
  storage.setItem('bastwork.own', 'null');
  const { store, said } = tab(storage);
  assert.equal(said.length, 1);
  assert.match(said[0], /^2 things .* set aside/);
  assert.deepEqual(store.plans().map(({ id }) => id), ['good']);
  assert.equal(store.own(), null);
  assert.deepEqual(store.asides().map(({ key, text }) => [key, text]).sort(), [
    ['bastwork.own', 'null'], ['bastwork.plan.bad', '{"version":1,"plan":{"name":"half'],
  ]);
  assert.equal([...storage.texts.keys()].filter((key) => /^bastwork\.aside\.\d+$/.test(key)).length, 2);
  assert.deepEqual(tab(storage).said, [], 'the next visit has nothing new to say');
});

test('what cannot be read and cannot be moved stays as it is, even when its own id is saved', () => {
  const storage = new FakeStorage();
  tab(storage).store.save(with_({ id: 'good' }));
  storage.setItem('bastwork.plan.bad', '{half');
  storage.room = storage.used;
  const { store, said } = tab(storage);
  store.plans();
  store.plan('bad');
  assert.equal(said.filter((sentence) => sentence.includes('set aside')).length, 1, 'said once');
  assert.deepEqual(store.asides().map(({ text }) => text), ['{half'], 'goes out with everything else');
  assert.equal(storage.getItem('bastwork.plan.bad'), '{half');
  store.save(with_({ id: 'bad' }));
  assert.equal(storage.getItem('bastwork.plan.bad'), '{half');
  assert.ok(store.plans().length <= 2);
});

test('what a newer Bastwork wrote is left alone', () => {
  const storage = new FakeStorage();
  const newer = '{"version":2,"plan":{"name":"From tomorrow"}}';
  storage.setItem('bastwork.plan.x', newer);
  const { store, said } = tab(storage);
  assert.match(said.join(), /newer Bastwork/);
  const { id, sentence } = store.save(with_({ id: 'x' }));
  assert.notEqual(id, 'x');
  assert.match(sentence, /Both are kept/);
  assert.equal(storage.getItem('bastwork.plan.x'), newer);
  assert.deepEqual(store.newer(), [newer]);
});

test('a full store is said with the way forward, the page goes on, and room that comes free is used', () => {
  const storage = new FakeStorage();
  const { store } = tab(storage);
  store.save(with_({ id: 'old', note: 'x'.repeat(3000) }));
  store.save(with_({ id: 'roof' }));
  storage.room = storage.used;
  const changed = with_({ id: 'roof', room: { temperature_c: 19 } });
  const result = store.save(changed);
  assert.equal(result.kept, false);
  assert.match(result.sentence, /no room.*Export.*delete/);
  assert.deepEqual(store.plan('roof').room, { temperature_c: 19 }, 'works on from memory');
  assert.equal(JSON.parse(storage.getItem('bastwork.plan.roof')).plan.room, undefined);
  assert.equal(store.standing().kind, 'full');

  const { undo } = store.remove('old');
  storage.room = Infinity;
  store.remove('nothing');
  assert.equal(store.save(changed).kept, true);
  assert.deepEqual(JSON.parse(storage.getItem('bastwork.plan.roof')).plan.room, { temperature_c: 19 });
  assert.equal(store.standing().sentence, null);
  assert.equal(undo().kept, true);
  assert.equal(store.plans().length, 2);
});

test('it is known whether everything would be there after a reload', () => {
  const storage = new FakeStorage();
  const { store } = tab(storage);
  store.save(with_({ id: 'old', note: 'x'.repeat(3000) }));
  assert.equal(store.safe(), true);
  storage.room = storage.used;
  store.save(with_({ id: 'roof' }));
  assert.equal(store.safe(), false);
  store.remove('old');
  storage.room = Infinity;
  store.remove('nothing');
  store.save(with_({ id: 'roof' }));
  assert.equal(store.safe(), true);

  const { store: memory } = tab(null);
  assert.equal(memory.safe(), true, 'nothing to lose yet');
  memory.save(with_({ id: 'roof' }));
  assert.equal(memory.safe(), false);
});

test('deleting makes room by itself for what waited', () => {
  const storage = new FakeStorage();
  const { store } = tab(storage);
  store.save(with_({ id: 'old', note: 'x'.repeat(3000) }));
  store.save(with_({ id: 'older', note: 'y'.repeat(3000) }));
  storage.room = storage.used;
  assert.equal(store.save(with_({ id: 'roof' })).kept, false);
  store.remove('old');
  store.remove('older');
  assert.notEqual(storage.getItem('bastwork.plan.roof'), null);
  assert.equal(store.standing().kind, 'kept');
});

test('no store, a blocked one and one that refuses everything: works from memory and says so', () => {
  const refusing = { length: 0, key: () => null, getItem: () => null, removeItem() {}, setItem() { throw new DOMException('no', 'SecurityError'); } };
  const before = Object.getOwnPropertyDescriptor(globalThis, 'localStorage');
  for (const given of [null, refusing, 'blocked']) {
    if (given === 'blocked') Object.defineProperty(globalThis, 'localStorage', { configurable: true, get() { throw new DOMException('no', 'SecurityError'); } });
    const said = [];
    const store = openStore({ say: (sentence) => said.push(sentence), ...(given !== 'blocked' && { storage: given }) });
    const { kept, sentence } = store.save(with_({ id: 'roof' }));
    assert.equal(kept, false);
    assert.match(sentence, /only until you close the page/);
    assert.match(said[0], /only until you close the page/);
    assert.equal(store.standing().kind, 'memory');
    assert.equal(store.plan('roof').name, 'Hive roof');
    assert.equal(store.saveOwn({ format: 1 }).kept, false);
    assert.equal(store.remove('roof').undo().id, 'roof');
    assert.equal(store.plans().length, 1);
  }
  if (before) Object.defineProperty(globalThis, 'localStorage', before);
  else delete globalThis.localStorage;
});

test('two tabs on one plan never overwrite each other: the later, different copy is kept beside', () => {
  const storage = new FakeStorage();
  const [a, b] = [tab(storage), tab(storage)];
  a.store.save(with_({ id: 'roof' }));
  b.store.plan('roof');
  a.store.save(with_({ id: 'roof', note: 'of a' }));

  const mine = with_({ id: 'roof', note: 'of b' });
  const result = b.store.save(mine);
  assert.equal(result.kept, true);
  assert.match(result.sentence, /"Hive roof \(copy\)"/);
  assert.deepEqual([mine.id, mine.name], [result.id, 'Hive roof (copy)']);
  assert.equal(a.store.plan('roof').note, 'of a');
  assert.equal(b.store.peek(result.id).note, 'of b');

  // A page that does not follow the new id still writes to its own copy, once.
  const again = b.store.save(with_({ id: 'roof', note: 'of b again' }));
  assert.deepEqual([again.id, again.sentence], [result.id, undefined]);
  assert.equal(b.store.peek(result.id).note, 'of b again');
  assert.equal(storage.ids().length, 2);

  // Opening what the other tab wrote makes it this tab's own again.
  const theirs = b.store.plan('roof');
  assert.equal(b.store.save({ ...theirs, note: 'of both' }).id, 'roof');
  assert.equal(a.store.peek('roof').note, 'of both');
});

test('the same content in two tabs is one plan', () => {
  const storage = new FakeStorage();
  const [a, b] = [tab(storage), tab(storage)];
  a.store.save(with_({ id: 'roof' }));
  b.store.plan('roof');
  a.store.save(with_({ id: 'roof', note: 'same' }));
  const result = b.store.save({ note: 'same', ...with_({ id: 'roof' }) });
  assert.deepEqual([result.id, result.sentence], ['roof', undefined]);
  assert.equal(storage.ids().length, 1);
});

test('a plan that says the same is known under whatever id', () => {
  const { store } = tab(new FakeStorage());
  store.save(with_({ id: 'roof', note: 'one' }));
  assert.equal(store.like(with_({ note: 'one' })), 'roof');
  assert.equal(store.like(with_({ id: 'other', note: 'one' })), 'roof');
  assert.equal(store.like(with_({ id: 'roof', note: 'two' })), null);
});

test('a tab hears of the other, and rescues its copy when both wrote in the same instant', () => {
  const storage = new FakeStorage();
  const { store, said, hear } = tab(storage);
  const heard = [];
  store.onOtherTab((change) => heard.push(change));
  store.save(with_({ id: 'roof', note: 'ours' }));
  const theirs = JSON.stringify({ version: 1, saved: '', plan: with_({ id: 'roof', note: 'theirs' }) });
  storage.setItem('bastwork.plan.roof', theirs);
  hear('bastwork.plan.roof', null, theirs);
  assert.deepEqual(heard, [{ kind: 'plan', id: 'roof' }]);
  assert.match(said[0], /Both are kept/);
  assert.deepEqual(store.plans().map(({ id }) => store.peek(id).note).sort(), ['ours', 'theirs']);

  hear('bastwork.plan.roof', theirs, null);
  hear('bastwork.own', null, '{}');
  hear(null, null, null);
  hear('someone.else', null, 'x');
  assert.deepEqual(heard.slice(1), [{ kind: 'removed', id: 'roof' }, { kind: 'own', id: null }, { kind: 'all', id: null }]);
});

test('own shelves of two tabs are joined', () => {
  const storage = new FakeStorage();
  const [a, b] = [tab(storage), tab(storage)];
  b.store.own();
  assert.equal(a.store.saveOwn({ format: 1, fabrics: { mine: { name: 'A', areal_mass_g_m2: 200 } } }).kept, true);
  const { sentence } = b.store.saveOwn({ format: 1, resins: { r: { name: 'B' } } });
  assert.match(sentence, /entries of both/);
  assert.deepEqual(Object.keys(a.store.own().fabrics), ['mine']);
  assert.deepEqual(Object.keys(a.store.own().resins), ['r']);
});

test('a deleted plan comes back by undo, after a reload too, until the next delete or 30 days', () => {
  const storage = new FakeStorage();
  const { store, clock } = tab(storage);
  store.save(with_({ id: 'a' }));
  store.save(with_({ id: 'b', name: 'Paddle' }));
  store.setCurrent('a');
  assert.match(store.remove('a').sentence, /"Hive roof" is deleted/);
  assert.equal(store.current(), null);
  assert.equal(store.plan('a'), null);

  const later = tab(storage, clock).store;
  assert.equal(later.bin().name, 'Hive roof');
  assert.equal(later.bin().undo().id, 'a');
  assert.equal(later.bin(), null);
  assert.equal(later.plan('a').name, 'Hive roof');

  later.remove('a');
  later.remove('b');
  assert.equal(later.bin().name, 'Paddle');
  clock.at += 31 * DAY;
  assert.equal(tab(storage, clock).store.bin(), null);
  assert.equal(storage.getItem('bastwork.bin'), null);
});

test('a backup is asked for gently: after 14 days, when something has changed', () => {
  const { store, clock } = tab(new FakeStorage());
  store.save(with_({ id: 'a' }));
  clock.at += 13 * DAY;
  assert.equal(store.standing().sentence, null);
  clock.at += 2 * DAY;
  assert.match(store.standing().sentence, /no backup.*Export everything/);
  store.exported();
  clock.at += 20 * DAY;
  assert.equal(store.standing().sentence, null, 'nothing has changed');
  store.save(with_({ id: 'a', note: 'new' }));
  assert.deepEqual(store.standing().kind, 'backup');
  assert.match(store.standing().sentence, /20 days old/);
  assert.match(store.where(), /this browser on this device.*a week without a visit.*home screen may start empty/);
});

test('asks the browser once to keep its hands off', async () => {
  const storage = new FakeStorage();
  let asked = 0;
  const before = Object.getOwnPropertyDescriptor(globalThis, 'navigator');
  const navigator = { userActivation: { isActive: true }, storage: { persisted: async () => false, persist: async () => { asked += 1; return true; } } };
  Object.defineProperty(globalThis, 'navigator', { configurable: true, value: navigator });
  const { store } = tab(storage);
  store.save(with_({ id: 'a' }));
  store.save(with_({ id: 'a', note: 'x' }));
  await new Promise(setImmediate);
  tab(storage).store.save(with_({ id: 'c' }));
  await new Promise(setImmediate);
  assert.equal(asked, 1);
  if (before) Object.defineProperty(globalThis, 'navigator', before);
  else delete globalThis.navigator;
});

test('a link brings the plan back, own materials and all, and holds nothing in the query', async () => {
  const own = { fabrics: { shed_twill: { name: 'Shed twill', areal_mass_g_m2: 310 } } };
  const plan = with_({ name: 'Bienenhaus süß 蜂', saved: '2026-05-01', stack: [{ fabric: 'shed_twill', count: 2 }] });
  const link = await linkFor(plan, own, 'https://shop.example/page/?x=1#old');
  assert.match(link, /^https:\/\/shop\.example\/page\/#1[\w-]+$/);
  assert.ok(link.length < 400, `${link.length} characters`);
  const { saved: _, ...rest } = plan;
  assert.deepEqual(await planFrom(new URL(link)), { plan: { ...rest, stack: [{ fabric: own.fabrics.shed_twill, count: 2 }] } });

  const { CompressionStream } = globalThis;
  delete globalThis.CompressionStream;
  const plain = await linkFor(roof, null, 'https://shop.example/');
  globalThis.CompressionStream = CompressionStream;
  assert.match(plain, /#0/);
  assert.deepEqual(await planFrom(new URL(plain)), { plan: roof });
});

test('hostile and broken links give a sentence or nothing, never a throw', async () => {
  const b64 = (bytes) => Buffer.from(bytes).toString('base64url');
  const good = (await linkFor(roof, null, 'x:')).split('#')[1];
  const bomb = b64(deflateRawSync(Buffer.alloc(50_000_000, 32)));
  for (const hash of ['', '#', '#stage-dry', '#about']) assert.equal(await planFrom({ hash }), null, hash);
  const sentences = new Map([
    [`#1${bomb}`, /more than a plan/], [`#${good.slice(0, -9)}`, /not hold a whole plan/], [`#9${good.slice(1)}`, /newer Bastwork/],
    ['#1', /whole plan/], ['#0', /whole plan/], ['#1%%%', /whole plan/], ['#1<script>', /whole plan/], ['#0AAAA=', /whole plan/],
    [`#0${b64('[1,2]')}`, /whole plan/], [`#0${b64('{"a":1}')}`, /whole plan/], [`#0${b64([0xff, 0xfe])}`, /whole plan/],
    [`#0${b64('['.repeat(100_000))}`, /whole plan/], [`#0${b64(`{"stack":[${'['.repeat(5000)}${']'.repeat(5000)}]}`)}`, /whole plan/],
    [`#0${b64('{"format":2,"stack":[]}')}`, /newer Bastwork/], [`#1${'A'.repeat(2_000_000)}`, /more than a plan/],
  ]);
  for (const [hash, wanted] of sentences) assert.match((await planFrom({ hash })).sentence ?? '', wanted, hash.slice(0, 60));
  assert.equal(await planFrom(undefined), null);

  const { plan } = await planFrom({ hash: `#0${b64('{"stack":[],"__proto__":{"bad":1},"a":{"constructor":{"prototype":{"bad":1}}}}')}` });
  assert.deepEqual(Object.keys(plan), ['stack', 'a']);
  assert.equal(plan.bad, undefined);
  assert.equal({}.bad, undefined);
});

test('everything goes out in one file and comes back into an empty shop', async () => {
  const { store } = tab(new FakeStorage());
  store.save(with_({ id: 'a' }));
  store.save(with_({ id: 'b', name: 'Paddle' }));
  store.saveOwn({ format: 1, fabrics: { shed_twill: { name: 'Shed twill' } }, learned: { drying_factor: 1.6 } });
  store.addAside('{half', 'bastwork.plan.old');
  const file = shopFile(store);
  assert.match(file.name, /^bastwork-\d{4}-\d\d-\d\d\.json$/);
  const text = JSON.parse(await file.text());
  assert.equal(text.bastwork, 1);

  const fresh = tab(new FakeStorage()).store;
  const { plans, own, sentences } = await readFile(file, fresh);
  assert.deepEqual(plans.map(({ name }) => name).sort(), ['Hive roof', 'Paddle']);
  assert.equal(own.learned.drying_factor, 1.6);
  assert.deepEqual(fresh.own(), own);
  assert.deepEqual(fresh.asides().map(({ text: held }) => held), ['{half']);
  assert.deepEqual(fresh.plan('a').stack, roof.stack);
  assert.match(sentences.join(' '), /"Hive roof" came in.*|"Paddle" came in/);

  // Once more: nothing doubles.
  const again = await readFile(file, fresh);
  assert.equal(fresh.plans().length, 2);
  assert.match(again.sentences.join(' '), /just the same/);
  assert.equal(again.own, null);
  assert.equal(fresh.asides().length, 1);
});

test('many plans that come in are told in one sentence', async () => {
  const { store } = tab(new FakeStorage());
  const plans = Array.from({ length: 40 }, (_, at) => with_({ id: `p${at}`, name: `Roof ${at}` }));
  const file = new File([JSON.stringify({ bastwork: 1, plans })], 'shop.json');
  const { sentences } = await readFile(file, store);
  assert.deepEqual(sentences, ['"Roof 0", "Roof 1", "Roof 2", "Roof 3" and 36 more came in.']);
  assert.deepEqual((await readFile(file, store)).sentences, ['"Roof 0", "Roof 1", "Roof 2", "Roof 3" and 36 more are here already, just the same.']);
});

test('a plan file is a plan, and never overwrites one that differs', async () => {
  const { store } = tab(new FakeStorage());
  store.save(with_({ id: 'a' }));
  const file = planFile(with_({ id: 'a', note: 'changed' }));
  assert.equal(file.name, 'hive-roof.json');
  assert.ok(isPlan(JSON.parse(await file.text())));
  const { plans, sentences } = await readFile(file, store);
  assert.equal(plans[0].name, 'Hive roof (copy)');
  assert.match(sentences[0], /kept beside it/);
  assert.equal(store.plan('a').note, undefined);
  assert.equal(store.peek(plans[0].id).note, 'changed');
  await readFile(file, store);
  assert.equal(store.plans().length, 2, 'the copy is known when the file comes again');
});

test('an own material that differs comes in beside, and the plans that use it follow', async () => {
  const { store } = tab(new FakeStorage());
  store.saveOwn({ format: 1, fabrics: { twill: { name: 'Ours', areal_mass_g_m2: 300 } }, learned: { drying_factor: 2 } });
  const shop = {
    bastwork: 1, plans: [with_({ id: 'p', stack: [{ fabric: 'twill', count: 1 }] })],
    own: { format: 1, fabrics: { twill: { name: 'Theirs', areal_mass_g_m2: 200 } }, learned: { drying_factor: 1 } },
  };
  const { own, sentences } = await readFile(new File([JSON.stringify(shop)], 'shop.json'), store);
  assert.equal(own.fabrics.twill.name, 'Ours');
  assert.equal(own.fabrics.twill_2.name, 'Theirs');
  assert.equal(own.learned.drying_factor, 2);
  assert.equal(store.plan('p').stack[0].fabric, 'twill_2');
  assert.match(sentences.join(' '), /kept beside it.*yours are kept/);
  assert.deepEqual(standalone(store.plan('p'), own).stack[0].fabric.name, 'Theirs');
  assert.equal(join(own, shop.own).added, 0);
});

test('what was learned of cloths is joined cloth by cloth, yours kept where they differ', () => {
  const range = (likely) => ({ low: likely / 2, likely, high: likely * 2 });
  const ours = { format: 1, fabrics: { mine: { name: 'Ours' } }, learned: { cloths: { a: { permeability_m2: range(3e-11) }, b: { permeability_m2: range(5e-11) } } } };
  const theirs = {
    format: 1, fabrics: { mine: { name: 'Theirs' } },
    learned: { cloths: { b: { permeability_m2: range(6e-11), thickness_mm: 0.6 }, c: { permeability_m2: range(7e-11) }, mine: { permeability_m2: range(8e-11) } } },
  };
  const { own, added, kept } = join(ours, theirs);
  assert.deepEqual(own.learned.cloths, {
    a: { permeability_m2: range(3e-11) }, b: { permeability_m2: range(5e-11), thickness_mm: 0.6 },
    c: { permeability_m2: range(7e-11) }, mine_2: { permeability_m2: range(8e-11) },
  });
  // The cloth that came in beside, its value, a property and a cloth.
  assert.equal(added, 4);
  assert.deepEqual(kept, ['learned.cloths.b.permeability_m2']);
  assert.deepEqual(ours.learned.cloths.b, { permeability_m2: range(5e-11) }, 'the shelf before is left as it was');
  assert.equal(join(own, theirs).added, 0);
  assert.deepEqual(join({ format: 1 }, theirs).own.learned, theirs.learned);
});

test('foreign, huge, broken and hostile files give sentences; nothing here is changed, and what a backup holds that is no plan is set aside', async () => {
  const storage = new FakeStorage();
  const { store } = tab(storage);
  store.save(with_({ id: 'a' }));
  const before = new Map(storage.texts);
  const unreadable = { name: 'gone.json', size: 10, text: async () => { throw new DOMException('gone', 'NotReadableError'); } };
  for (const [file, wanted] of [
    [new File(['{"name":"thing","version":"1.0.0","dependencies":{}}'], 'package.json'), /not a file of Bastwork/],
    [new File(['%PDF-1.7'], 'sheet.pdf'), /not a file of Bastwork/],
    [new File([''], 'empty.json'), /not a file of Bastwork/],
    [new File(['['.repeat(200_000)], 'deep.json'), /not a file of Bastwork/],
    [new File([new Uint8Array(6 * 1024 * 1024)], 'huge.json'), /larger than 5 MB/],
    [new File(['{"bastwork":2,"plans":[]}'], 'new.json'), /newer Bastwork/],
    [new File(['{"format":3,"stack":[]}'], 'new.json'), /newer Bastwork/],
    [new File(['{"bastwork":1,"plans":"x","own":[],"aside":7}'], 'odd.json'), /holds nothing/],
    [new File(['{"bastwork":1,"plans":[1,null,{"a":1}]}'], 'odd.json'), /3 of the plans.*They are set aside/],
    [new File([`{"stack":[],"note":"${'x'.repeat(300_000)}"}`], 'big.json'), /too large/],
    [unreadable, /could not be read/],
    [undefined, /could not be read/],
  ]) {
    const { plans, own, sentences } = await readFile(file, store);
    assert.deepEqual([plans, own], [[], null]);
    assert.match(sentences.join(' '), wanted);
  }
  for (const [key, text] of before) assert.equal(storage.getItem(key), text);
  assert.deepEqual(store.asides().map(({ text }) => text), ['1', '{"a":1}']);
  assert.equal(storage.texts.size, before.size + 2);

  const hostile = '{"bastwork":1,"own":{"format":1,"fabrics":{"__proto__":{"polluted":1},"constructor":{"prototype":{"polluted":1}},"toString":{"name":"odd"}},"__proto__":{"polluted":1}},"plans":[{"format":1,"id":"../../x","name":{"a":1},"stack":[{"fabric":"toString","count":1}],"__proto__":{"polluted":1}}]}';
  const { plans, own } = await readFile(new File([hostile], 'hostile.json'), store);
  assert.equal({}.polluted, undefined);
  assert.equal(plans[0].polluted, undefined);
  assert.match(plans[0].id, /^[0-9a-z]{12}$/);
  assert.deepEqual(Object.keys(own.fabrics), ['toString']);
  assert.equal(store.plans().find(({ id }) => id === plans[0].id).name, 'Unnamed part');
});

test('reading JSON never throws', () => {
  for (const text of [null, undefined, 7, {}, '', '{', 'nul', '"\\ud800"', '['.repeat(1e6)]) assert.doesNotThrow(() => readJson(text));
  assert.equal(readJson('['.repeat(30) + ']'.repeat(30)), undefined);
});
