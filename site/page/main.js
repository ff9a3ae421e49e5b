// Starts the page and wires it: one plan document goes in, one sheet comes out, the views show both.
import { copyOf, put } from './path.js';
import { announcer } from './announce.js';
import { showClock } from './clock.js';
import { aside, wayOn } from './aside.js';
import { core, halfWay, load } from './core.js';
import { bringer, idle, quietly } from './parts.js';
import { askedOf } from './asked.js';
import { buildForm } from './form.js';
import { h } from './dom.js';
import { inZone } from './moment.js';
import { isId, newId, openStore } from './store.js';
import { nameOf, unshown } from './storewords.js';
import { ownButton } from './groups.js';
import { problemList } from './problems.js';
import { sayer } from './say.js';
import { ticket } from './ticket.js';

/** Milliseconds of quiet before what was typed is written down, and the most that it may wait while the hands go on. */
const SAVE_AFTER = 150;
const SAVE_WITHIN = 800;
/** Milliseconds after which it is said that figures are being worked out. */
const SAID_AFTER = 300;
/** What one tab keeps for its own next load: which stages are open, which plan is on the bench. */
const OPEN_STAGES = 'bastwork.open-stages';
const BENCH = 'bastwork.bench';

/** The example that a first visit shows, so that there is a whole sheet to look at. In JSON's quotes: a test reads it. */
const EXAMPLE = {
  "format": 1, "name": "Hive roof", "units": "metric", "part": { "area_m2": 0.62, "flow_length_mm": 420 }, "route": "infusion",
  "stack": [{ "fabric": "flax_twill_300", "count": 4, "angle_deg": 0 }], "resin": "infusion_epoxy_slow"
};
const EMPTY = { format: 1, stack: [{ fabric: 'flax_twill_300', count: 4, angle_deg: 0 }], resin: 'infusion_epoxy_slow', route: 'infusion' };

const at = (id) => /** @type {HTMLElement} */ (document.getElementById(id));
const say = sayer(at('say'), at('standing'));
const bring = bringer(say);
/** The sheet is worked out aside, and what may take long beside it. */
const [sheets, searches] = [aside(), aside()];

const app = {
  core, say, bring, store: /** @type {any} */ (null),
  plan: /** @type {any} */ (null), own: /** @type {any} */ ({ format: 1 }),
  units: 'metric', shelf: /** @type {any} */ (null), asked: /** @type {Map<string, import('./asked.js').Asked>} */ (new Map()),
  /** What lets plans and shelves in that hold what the page cannot. */
  door: /** @type {any} */ (null),
  ownButton: (kind, path) => ownButton(app, kind, path),

  /** Puts one value into the plan; undefined takes it out. */
  set(path, value) {
    put(app.plan, path, value);
    if (path === 'units') rebuild();
    touched();
  },
  /** Notes that a reading was taken now. */
  stamp(path) {
    app.plan.stamps = { ...app.plan.stamps, [path]: new Date().toISOString() };
    touched();
  },
  /** Puts another version of the same plan on the bench. */
  replacePlan(plan) {
    app.plan = copyOf(plan);
    rebuild();
    touched();
  },
  saveOwn(own, { quiet = false } = {}) {
    app.own = own;
    const { sentence } = app.store.saveOwn(own);
    if (sentence) say(sentence);
    if (!quiet) app.takeOwn(own);
  },
  takeOwn(own) {
    app.own = own ?? { format: 1 };
    app.shelf = core.shelf(app.own);
    touched({ unchanged: true });
  },
  /** Whether a path is an entry of the page itself. */
  hasEntry: (path) => form.find(path)?.path === path,
  /** Works the sheet out at once, for those who cannot wait. */
  workNow: () => work({ now: true }),
  flush: () => save(),
  goTo: (path) => hooks.goToInput(path),
  open(id) {
    save();
    const plan = app.store.plan(id);
    if (!plan) return say(app.store.has(id) ? 'That plan cannot be read just now: a newer Bastwork saved it, or this browser does not give it. Load the newest page and try again.' : 'That plan is no longer here.');
    bench(plan);
    return undefined;
  },
  bench,
  empty: () => ({ ...copyOf(EMPTY), id: newId(), units: app.units }),
  begin() {
    save();
    bench(app.empty());
    form.find('part.area_m2')?.focus();
  },
  /** Puts a plan from elsewhere on the bench, under an id of its own. */
  take(plan) {
    save();
    if (bench({ ...plan, id: newId() })) touched();
  },
};

let form;
let sheetView;
let answer = { sheet: /** @type {any} */ (null), problems: /** @type {any[]} */ ([]), stale: false };
let waiting = 0;
/** Counts what was worked out, so that an older answer does not take the place of a newer one. */
let turn = 0;
let saying;
let saveTimer;
let unsaved = false;
/** When the oldest keystroke that is not written down was made. */
let since = 0;

const hooks = {
  app,
  goToInput(path) {
    const entry = entryFor(path);
    if (!entry) return;
    const control = entry.el.querySelector('input, select');
    sheetView.reveal(control);
  },
  entryLabel: (path) => entryFor(path)?.label ?? null,
  /** Takes out what stands in a place of another kind, with a way back; null where a problem is not about such a thing. */
  leaveOut(field) {
    const list = Array.isArray(app.plan.astray) ? app.plan.astray : [];
    const n = list.findIndex((pair, k) => field === `astray.${k}` || `${field}.`.startsWith(`${pair?.[0]}.`));
    return n < 0 ? null : () => {
      const before = app.plan;
      app.replacePlan({ ...before, astray: list.length > 1 ? list.toSpliced(n, 1) : undefined });
      say('It is left out.', { undo: () => app.replacePlan(before) });
    };
  },
  hasEntry: (path) => app.hasEntry(path),
  plan: () => app.plan,
  /** Asks for the stacks that do what the plan wants; null when a newer question overtook this one. */
  ask: (plan) => searches.ask('work_back', plan, app.own),
  /** Lays other rows, with a way back. */
  layStack(rows) {
    const before = copyOf(app.plan.stack);
    const lay = (stack) => app.replacePlan({ ...app.plan, stack });
    lay(rows);
    say('The stack is laid. Check the sheet from the top.', { undo: () => lay(before) });
  },
  remember(stage, open) {
    const stages = new Set(openStages());
    if (open) stages.add(stage);
    else stages.delete(stage);
    try { sessionStorage.setItem(OPEN_STAGES, [...stages].join(' ')); } catch { /* Not kept then. */ }
  },
  wasOpen: (stage) => openStages().includes(stage),
};

function openStages() {
  try { return (sessionStorage.getItem(OPEN_STAGES) ?? '').split(' '); } catch { return []; }
}

/** The entry for a path of the plan, for a place inside a material, or for a shelf entry that the plan uses. */
function entryFor(path) {
  for (let way = path; way.includes('.') || way === path; way = way.slice(0, way.lastIndexOf('.'))) {
    const entry = form.find(way);
    if (entry) return entry;
    if (!way.includes('.')) break;
  }
  const start = path.split('.')[0];
  if (form.find(start)) return form.find(start);
  const [, table, key] = /^(?:own\.)?(fabrics|resins|tools)\.([^.]+)/.exec(path) ?? [];
  if (table === 'resins') return form.find('resin');
  if (table === 'tools') return form.find('trim.tool');
  if (table === 'fabrics') {
    const row = (app.plan.stack ?? []).findIndex(({ fabric }) => fabric === key);
    return row < 0 ? null : form.find(`stack.${row}.fabric`);
  }
  return null;
}

/** Notes which plan is worked on: for this tab's next load, and for the next tab. */
function onBench(id) {
  app.store.setCurrent(id);
  try { sessionStorage.setItem(BENCH, id); } catch { /* The store's note serves then. */ }
}

function lastOnBench() {
  try {
    const id = sessionStorage.getItem(BENCH);
    if (id && app.store.has(id)) return id;
  } catch { /* As above. */ }
  return app.store.current();
}

/** Puts a plan on the bench; one that cannot be shown is set aside, and false is the answer. */
function bench(plan) {
  try {
    show(plan);
    return true;
  } catch (cause) {
    // Where an empty ticket fails too, it is not the plan.
    show(app.empty());
    console.warn(cause);
    say(unshown(nameOf(plan), app.store.setPlanAside(plan)), { kind: 'standing' });
    return false;
  }
}

function show(plan) {
  at('example').replaceChildren();
  app.plan = app.door ? app.door.held(core, plan) : copyOf(plan);
  if (!isId(app.plan.id)) app.plan.id = newId();
  answer = { sheet: null, problems: [], stale: false };
  onBench(app.plan.id);
  unsaved = false;
  rebuild();
  work();
}

/** Where on the ticket those entries stand that belong to no stage. */
const PLACES = { 'part-name': 'name', 'part-first': 'first', 'part-second': 'second', 'shop-entries': 'shop', 'bag-entries': 'above', 'part-note': 'note' };

/** Builds the form anew for the units of the plan; the focus stays where it was. */
function rebuild() {
  const focused = document.activeElement?.id;
  app.units = app.plan.units === 'us' ? 'us' : 'metric';
  app.asked = askedOf(core, app.units);
  form = buildForm(app);
  for (const [id, place] of Object.entries(PLACES)) at(id).replaceChildren(...form.at(place));
  sheetView = ticket({ stages: at('stages'), strip: at('strip'), first: at('first'), rules: at('comes-first') }, form.at, hooks);
  draw();
  if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
}

/** Something has changed: work it out within a frame, write it down soon. */
function touched({ unchanged = false } = {}) {
  if (!unchanged) {
    at('example').replaceChildren();
    if (!unsaved) since = performance.now();
    unsaved = true;
    clearTimeout(saveTimer);
    saveTimer = setTimeout(save, Math.max(0, Math.min(SAVE_AFTER, since + SAVE_WITHIN - performance.now())));
  }
  if (!waiting) waiting = requestAnimationFrame(() => work());
}

/** The plan with what the device's zone does to its day. */
const whenHere = () => inZone(app.plan);

/** Works the sheet out in a worker, so that the page never waits for it; in the page itself where it is wanted `now`. */
function work({ now = false } = {}) {
  cancelAnimationFrame(waiting);
  waiting = 0;
  turn += 1;
  performance.mark('bastwork-typed');
  if (now) {
    found(core.sheet(whenHere(), app.own));
    return;
  }
  const mine = turn;
  const { sheet } = document.documentElement.dataset;
  document.documentElement.dataset.sheet = 'waiting';
  if (sheet !== 'waiting') saying = setTimeout(() => { at('working').hidden = false; }, SAID_AFTER);
  drawForm();
  // What was typed meanwhile asks anew.
  sheets.ask('sheet', whenHere(), app.own).catch(halfWay).then((answered) => { if (answered && mine === turn) found(answered); });
}

/** Takes what the core found; figures from before stay beside problems. */
function take(found) {
  if (found.stopped) wayOn(app, found.stopped);
  answer = found.sheet
    ? { sheet: found.sheet, problems: [], stale: false }
    : { sheet: answer.sheet, problems: found.problems, stale: answer.sheet !== null };
}

/** Shows what the core found. */
function found(answered) {
  performance.mark('bastwork-worked');
  clearTimeout(saying);
  at('working').hidden = true;
  take(answered);
  document.documentElement.dataset.sheet = 'all';
  draw();
  // The ticket stands with its first figures.
  for (const id of ['loading', 'sample']) document.getElementById(id)?.remove();
  at('ticket').hidden = false;
  performance.mark('bastwork-drawn');
  performance.measure('bastwork-sheet', 'bastwork-typed', 'bastwork-worked');
  performance.measure('bastwork-recalculation', 'bastwork-typed', 'bastwork-drawn');
  announce(answer);
}

function drawForm() {
  const problems = new Map();
  for (const { field, sentence } of answer.problems) {
    const path = entryFor(field)?.path ?? field;
    if (!problems.has(path)) problems.set(path, sentence);
  }
  form.update({ plan: app.plan, problems });
  document.title = app.plan.name ? `${app.plan.name} - Bastwork` : 'Bastwork';
}

function draw() {
  drawForm();
  sheetView.update(answer.sheet);
  problemView.update(answer.problems, answer.stale);
  showClock(app, answer.sheet);
  ticketPaper?.update(answer.sheet, answer.stale);
}

/** Writes the plan down; `kept` tells whether everything of this page would be there after a reload. */
function save() {
  clearTimeout(saveTimer);
  if (unsaved) {
    const before = app.plan.id;
    const { kept, sentence } = app.store.save(app.plan);
    unsaved = !kept;
    since = performance.now();
    if (app.plan.id !== before) {
      onBench(app.plan.id);
      draw();
    }
    if (sentence) say(sentence, { kind: 'standing' });
    plans?.refresh();
  }
  return { kept: !unsaved && app.store.safe() };
}

// The paper never waits for what is worked out aside.
window.addEventListener('beforeprint', () => { if (document.documentElement.dataset.sheet === 'waiting') app.workNow(); });
// An entry that is left is written down at once.
document.addEventListener('change', () => save());

/** The foot never covers the entry that is being typed in. */
new ResizeObserver(([{ target }]) => {
  const height = `${target.getBoundingClientRect().height + 12}px`;
  document.documentElement.style.scrollPaddingBottom = height;
  document.body.style.paddingBottom = height;
  const { activeElement: active } = document;
  if (active?.matches('main input, main select, main textarea')) active.scrollIntoView({ block: 'nearest' });
}).observe(at('foot'));
// A browser brings only the caret of a long text into view.
at('part-note').addEventListener('focusin', ({ target }) => /** @type {HTMLElement} */ (target).scrollIntoView({ block: 'nearest' }));

/** What is gone to comes to stand below the lines that stay at the top. */
new ResizeObserver(([{ target }]) => {
  document.documentElement.style.scrollPaddingTop = `${target.getBoundingClientRect().height + 12}px`;
}).observe(at('say'));

const announce = announcer(at('announce'));
const problemView = problemList(at('problems'), at('before'), hooks);
/** The ticket on paper and the list of plans, once they are here. */
let ticketPaper;
let plans;

function heardFromOtherTab({ kind, id }) {
  if (kind === 'own') app.takeOwn(app.store.own());
  if (kind === 'plan' && id === app.plan.id && !unsaved) {
    const theirs = app.store.plan(id);
    if (theirs && JSON.stringify(theirs) !== JSON.stringify(app.plan)) {
      bench(theirs);
      say('This plan was changed in another tab. You see it as it is there.');
    }
  }
  if (kind === 'removed' && id === app.plan.id) say('This plan was deleted in another tab. What you have here is kept as soon as you change it.');
  // Erased from outside: what is here is written down again.
  if (kind === 'all') touched();
  plans?.refresh();
}

/** Opens the plan that the address carries; the fragment then goes, so that a reload does not open it twice. */
async function fromAddress() {
  if (!/^#\d/.test(location.hash)) return false;
  let found = /** @type {any} */ (null);
  const share = await quietly('share');
  if (share) found = await share.planFrom(location);
  else say('The part of Bastwork that reads links is not on this device yet. Load the page again with a network: the link stays as it is.', { kind: 'standing' });
  if (!found) return false;
  history.replaceState(null, '', location.pathname + location.search);
  if (!('plan' in found)) {
    say(found.sentence, { kind: 'standing' });
    return false;
  }
  save();
  await openDoor();
  const known = app.store.like(found.plan);
  if (known) {
    bench(app.store.plan(known));
    say(`"${nameOf(app.plan)}", which the link brings, was in your list of plans already.`);
    return true;
  }
  app.take(found.plan);
  say(`"${nameOf(app.plan)}" came with the link. It is kept in your list of plans.`);
  return true;
}

/** Brings what can let in more than the page itself. */
const openDoor = async () => { app.door ??= await quietly('door'); };

async function start() {
  at('loading').dataset.begun = 'yes';
  await load();
  app.store = openStore({ core, door: () => app.door, say: (sentence) => say(sentence, { kind: 'standing' }) });
  if (app.store.odd()) await openDoor();
  app.own = app.store.own() ?? { format: 1 };
  app.shelf = core.shelf(app.own);
  const before = () => {
    const [current, newest] = [lastOnBench(), app.store.plans()[0]];
    return (current && app.store.plan(current)) || (newest && app.store.plan(newest.id));
  };
  const plansButton = /** @type {HTMLButtonElement} */ (at('plans-button'));
  plansButton.hidden = false;
  plansButton.addEventListener('click', () => bring('plans', ({ plansView }) => {
    plans ??= plansView(app, at('plans'), plansButton);
    plans.toggle();
  }));

  if (!(await fromAddress())) {
    const plan = before();
    if (plan) {
      if (/:(null|"\s*")/.test(JSON.stringify(plan)) || plan.astray || core.astray({ ...plan, format: 1 }).length > 0) await openDoor();
      bench(plan);
    } else {
      bench({ ...copyOf(EXAMPLE), id: newId() });
      at('example').append(
        h('p', {}, 'This is an example. Write your own part over it, or ',
          h('button', { type: 'button', class: 'link', on: { click: () => app.begin() } }, 'begin with an empty ticket'), '.'));
    }
  }
  const { sentence, kind } = app.store.standing();
  if (sentence && kind === 'backup') say(sentence);

  app.store.onOtherTab(heardFromOtherTab);
  window.addEventListener('hashchange', () => { void fromAddress(); });
  window.addEventListener('pagehide', save);
  document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'hidden') save(); });
  await idle();
  const offline = await quietly('offline');
  await offline?.workOffline({ say, save });
  await complete();
}

/** Brings, with the first sheet on screen, what the printer and a deeper look need; tries again when a network comes. */
async function complete() {
  if (!ticketPaper) {
    const part = await quietly('paper');
    if (part) {
      ticketPaper = part.paper(app, at('paper'));
      ticketPaper.update(answer.sheet, answer.stale);
    }
  }
  await openDoor();
  document.documentElement.dataset.core = 'ready';
  for (const name of ['plans', 'materials', 'share']) void quietly(name);
  if (!ticketPaper || !app.door) window.addEventListener('online', () => void complete(), { once: true });
}

start().catch((cause) => {
  // The script in the page itself says what is missing, and mends it.
  /** @type {any} */ (globalThis).mend?.(cause);
  throw cause;
});
