// A store that fails on command, and an hour at the bench to fail it in.
import * as door from '../../site/page/door.js';
import { openStore } from '../../site/page/store.js';

/** Thrown by nothing: the tab is gone, and what it would have done from here on never happens. */
export class Killed extends Error {}

/** A browser's store that counts its calls and fails where it is told to. */
export class Faulty {
  texts = new Map();
  calls = 0;
  /** @type {(call: number, verb: string) => 'throw' | 'drop' | 'kill' | undefined} */
  fault = () => undefined;
  dead = false;

  #call(verb, go, otherwise = null) {
    if (this.dead) return otherwise;
    this.calls += 1;
    const what = this.fault(this.calls, verb);
    if (what === 'kill') this.dead = true;
    if (what === 'throw') throw new DOMException('not now', verb === 'setItem' ? 'QuotaExceededError' : 'UnknownError');
    return what === undefined ? go() : otherwise;
  }
  get length() { return this.#call('length', () => this.texts.size, 0); }
  key(at) { return this.#call('key', () => [...this.texts.keys()][at] ?? null); }
  getItem(key) { return this.#call('getItem', () => this.texts.get(key) ?? null); }
  setItem(key, text) { this.#call('setItem', () => { this.texts.set(key, String(text)); }); }
  removeItem(key) { this.#call('removeItem', () => { this.texts.delete(key); }); }
}

/**
 * One tab as `main.js` has it: a plan on the bench that is written down after each keystroke, and tried again until it is kept.
 * Every sentence that it tells is noted with the number of keystrokes before it.
 */
export class Tab {
  said = [];
  /** @type {any} */
  plan = null;
  unsaved = false;

  constructor(storage, core, clock, typed) {
    this.storage = storage;
    this.typed = typed;
    this.tabs = new EventTarget();
    this.store = openStore({ say: (sentence) => this.tell(sentence), core, door: () => door, storage, now: () => (clock.at += 7), tabs: this.tabs });
    this.own = this.store.own() ?? { format: 1 };
    const current = this.store.current();
    const [newest] = this.store.plans();
    this.plan = (current && this.store.plan(current)) || (newest && this.store.plan(newest.id)) || null;
  }

  tell(sentence) { if (sentence) this.said.push({ at: this.typed.length, sentence }); }

  /** A keystroke that leaves a mark which nothing else leaves. */
  type(path) {
    const mark = `mark${this.typed.length}x`;
    this.typed.push({ mark, deleted: false, plan: this.plan.id });
    this.plan[path] = `${this.plan[path] ?? ''} ${mark}`.trim().slice(-180);
    this.unsaved = true;
    this.save();
    return mark;
  }

  save() {
    if (!this.unsaved) return;
    const { kept, sentence } = this.store.save(this.plan);
    this.unsaved = !kept;
    this.tell(sentence);
  }

  begin(plan) {
    this.save();
    this.plan = plan;
    this.unsaved = true;
    this.save();
    this.store.setCurrent(this.plan.id);
  }

  open(id) {
    this.save();
    const plan = this.store.plan(id);
    if (!plan) return this.tell('That plan is no longer here.');
    this.plan = plan;
    this.store.setCurrent(id);
    return undefined;
  }

  saveOwn(own) {
    this.own = own;
    this.tell(this.store.saveOwn(own).sentence);
  }
}
