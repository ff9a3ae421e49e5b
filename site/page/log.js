// A log of readings: what the gauge or the scale shows, noted with a tap that tells the minute, kept at once.
import { h, idFor, linkTo, write } from './dom.js';
import { readTyped, shown } from './entry.js';
import { get } from './path.js';

/** Milliseconds between two looks at the clock; what it says is right without them too. */
const LOOK = 5000;
/** Readings that stay in view; the earlier ones are folded away. */
const FEW = 6;
const MINUTE = 60000;
/** A tap is good to this part of a minute. */
const PART = 20;

const LOGS = {
  'bag.test': {
    field: 'reading', key: 'log.reading', title: 'Readings of the gauge', label: 'The gauge shows', example: '21.5', of: 'gauge',
    begin: 'Shut the clamp between pump and bag, then note what the gauge shows. Go on every minute or two; eight readings or more tell most.',
  },
  'dry.weighings': {
    field: 'g', key: 'log.g', title: 'Weighings', label: 'The scale shows', example: '812', of: 'scale',
    begin: 'Weigh the cloth as it goes into the oven, and now and then as it dries, always with the same tray.',
  },
};

/** Logs on the page now, so that the sheet can tell which of their readings it doubts. @type {Map<string, { doubt: (which: number[]) => void }>} */
const logs = new Map();

/** Marks the readings of a log that stand far off the others, by their place in the plan. @param {string} path @param {number[]} which */
export const doubt = (path, which) => logs.get(path)?.doubt(which);

/** Where an unfinished reading waits through a reload. */
function draftOf(app, path) {
  const key = () => `bastwork.unfinished.${app.plan.id}.${path}`;
  return {
    get key() { return key(); },
    read() { try { return JSON.parse(sessionStorage.getItem(key()) ?? '{}'); } catch { return {}; } },
    write(texts) {
      try {
        if (texts.value || texts.minute) sessionStorage.setItem(key(), JSON.stringify(texts));
        else sessionStorage.removeItem(key());
      } catch { /* It stays on the screen then. */ }
    },
  };
}

/** The unit of the gauge that the plan names, and the whole of its name. */
function gaugeOf(app) {
  const { usual, options } = app.asked.get('bag.gauge_kind');
  const word = app.plan.bag?.gauge_kind ?? usual;
  const name = options.find((one) => one.word === word)?.label ?? String(word);
  return { name, unit: name.split(',')[0].replace(' below the air', '') };
}

function massOf(app) {
  return { name: '', unit: app.asked.get('log.g').unit };
}

const clock = (at) => new Intl.DateTimeFormat(undefined, { timeStyle: 'short', ...(Math.abs(Date.now() - at) > 12 * 60 * MINUTE && { dateStyle: 'medium' }) }).format(at);

/**
 * Fills a place with the log of one list of the plan.
 * @param {any} app
 * @param {HTMLElement} place
 * @param {string} path
 */
export function logView(app, place, path) {
  const spec = LOGS[path];
  const draft = draftOf(app, path);
  const [valueId, minuteId, underId, clockId] = ['value', 'minute', 'under', 'clock'].map((part) => idFor(`${path}.${part}`));
  const field = (id, extra = {}) => h('input', { id, type: 'text', inputmode: 'decimal', autocomplete: 'off', spellcheck: 'false', enterkeyhint: 'done', ...extra });
  const value = field(valueId, { 'aria-describedby': `${valueId}-unit ${underId} ${clockId}` });
  const minute = field(minuteId, { 'aria-describedby': `${minuteId}-unit ${underId}` });
  const unit = h('span', { class: 'unit', id: `${valueId}-unit` });
  const under = h('p', { class: 'under', id: underId });
  const since = h('p', { class: 'since', id: clockId });
  const heard = h('p', { class: 'unseen', role: 'status' });
  const kind = h('p', { class: 'read-as' });
  const newest = h('ol', { class: 'readings-list' });
  const older = h('ol', { class: 'readings-list' });
  const summary = h('summary', {});
  const fold = h('details', { hidden: true }, summary, older);
  const anew = h('button', { type: 'button', class: 'quiet', hidden: true, on: { click: startAnew } }, 'Start anew');
  const entry = (label, id, input, after) => h('div', { class: 'entry' }, h('label', { for: id }, label), h('div', { class: 'well' }, input, after));
  place.replaceChildren(h('h3', {}, spec.title), since,
    h('div', { class: 'reading' }, entry(spec.label, valueId, value, unit), entry('Minute, if not now', minuteId, minute, h('span', { class: 'unit', id: `${minuteId}-unit` }, 'min'))),
    under, h('button', { type: 'button', class: 'main note-it', on: { click: noteIt } }, 'Note it'), heard, kind, newest, fold, anew);

  let drawn = '';
  /** The reading that is being changed, and what was typed over it. @type {{ place: number, minute: string, value: string, told: string | null } | null} */
  let editing = null;
  let told = null;
  let doubted = [];
  let problem;
  let timer = 0;

  const list = () => { const found = get(app.plan, path); return Array.isArray(found) ? found : []; };
  const start = () => Date.parse(app.plan.stamps?.[path] ?? '');
  const minuteText = (one) => shown(app, 'log.min', one?.min);
  const valueText = (one) => shown(app, spec.key, one?.[spec.field]);
  const unitNow = () => (spec.of === 'gauge' ? gaugeOf(app) : massOf(app));

  /** Puts the readings into the plan and keeps them at once. */
  function put(readings, stamp) {
    const stamps = { ...app.plan.stamps };
    if (readings.length === 0) delete stamps[path];
    else if (stamp) stamps[path] = stamp;
    app.plan.stamps = stamps;
    app.set(path, readings.length ? readings : undefined);
    app.flush();
    draw();
  }

  /** The same, on the plan that was on the bench when an undo was offered. */
  function onPlan(id, go) {
    return () => {
      if (app.plan.id !== id) app.open(id);
      go();
    };
  }

  function tell(input, sentence) {
    told = sentence;
    for (const one of [value, minute]) one.removeAttribute('aria-invalid');
    if (sentence) {
      input.setAttribute('aria-invalid', 'true');
      input.focus();
    }
    draw();
  }

  /** What a text means, or the sentence that says what to do. */
  function read(key, text, word) {
    const found = readTyped(app, key, text, word);
    return found.value === undefined ? { sentence: 'A reading needs a number.' } : found;
  }

  function noteIt() {
    const before = list();
    if (!value.value.trim()) return tell(value, `Type what the ${spec.of} shows, for example ${spec.example}.`);
    const amount = read(spec.key, value.value, unitNow().unit);
    if (amount.sentence) return tell(value, amount.sentence);
    let min = 0;
    let stamp = null;
    if (minute.value.trim()) {
      const typed = read('log.min', minute.value, 'min');
      if (typed.sentence) return tell(minute, typed.sentence);
      min = typed.value;
    } else if (before.length === 0) stamp = new Date().toISOString();
    else {
      const gone = Date.now() - start();
      if (!(gone >= 0)) return tell(minute, 'Type the minute too: the clock of this device did not see these readings begin.');
      min = Math.round((gone / MINUTE) * PART) / PART;
    }
    const reading = { min, [spec.field]: amount.value };
    value.value = '';
    minute.value = '';
    draft.write({});
    tell(value, null);
    put([...before, reading], stamp);
    // A screen reader hears it; the list shows it.
    heard.textContent = `Noted: ${valueText(reading)} ${unitNow().unit} at minute ${minuteText(reading)}.`;
    value.focus();
    return undefined;
  }

  function startAnew() {
    const [id, before, stamp] = [app.plan.id, list(), app.plan.stamps?.[path]];
    editing = null;
    put([], null);
    app.say('The readings are put away; the next one starts anew.', {
      undo: onPlan(id, () => {
        const [since_, then] = [list(), app.plan.stamps?.[path]];
        put(before, stamp);
        if (since_.length) app.say('The earlier readings are back.', { undo: onPlan(id, () => put(since_, then)) });
      }),
    });
    value.focus();
  }

  function takeOut(at) {
    const id = app.plan.id;
    const now = list();
    const [gone, stamp] = [now[at], app.plan.stamps?.[path]];
    editing = null;
    put(now.filter((_, other) => other !== at), null);
    app.say(`The reading at minute ${minuteText(gone)} is taken out.`, { undo: onPlan(id, () => put(list().toSpliced(at, 0, gone), stamp)) });
    (newest.querySelector('button') ?? value).focus();
  }

  function keep(at) {
    const { minute: typedMinute, value: typedValue } = editing;
    const [min, amount] = [read('log.min', typedMinute, 'min'), read(spec.key, typedValue, unitNow().unit)];
    if (min.sentence || amount.sentence) {
      editing.told = amount.sentence ?? min.sentence;
      draw();
      return document.getElementById(idFor(`${path}.${amount.sentence ? 'new-value' : 'new-minute'}`))?.focus();
    }
    editing = null;
    put(list().map((one, other) => (other === at ? { ...one, min: min.value, [spec.field]: amount.value } : one)), null);
    return place.querySelector(`[data-place="${at}"]`)?.focus();
  }

  function leave(at) {
    editing = null;
    draw();
    place.querySelector(`[data-place="${at}"]`)?.focus();
  }

  /** One reading: a line to press, or the line open for a change. */
  function row(one, at, word) {
    const doubtful = doubted.includes(at) && 'far off the others: mistyped?';
    if (editing?.place !== at) {
      return h('li', {}, h('button', {
        type: 'button', class: 'one-reading', 'data-place': at, id: idFor(`${path}.${at}`),
        on: { click() { editing = { place: at, minute: minuteText(one), value: valueText(one), told: null }; draw(); document.getElementById(idFor(`${path}.new-value`))?.focus(); } },
      }, h('span', { class: 'when' }, `${minuteText(one)}\u00a0min`), ' ', h('span', { class: 'what' }, `${valueText(one)}\u00a0${word}`), doubtful && h('span', { class: 'doubt' }, ` ${doubtful}`),
      h('span', { class: 'change' }, 'change')));
    }
    const typed = (name, label, after) => {
      const id = idFor(`${path}.new-${name}`);
      const input = field(id, {
        value: editing[name], 'aria-describedby': `${underId}-change`,
        on: {
          input() { editing[name] = input.value; },
          keydown(event) {
            if (event.key !== 'Enter' && event.key !== 'Escape') return;
            // The key must not press what the focus moves to.
            event.preventDefault();
            if (event.key === 'Enter') keep(at);
            else leave(at);
          },
        },
      });
      return entry(label, id, input, h('span', { class: 'unit' }, after));
    };
    return h('li', { class: 'changing' }, h('div', { class: 'reading' }, typed('value', spec.label, word), typed('minute', 'Minute', 'min')),
      h('p', { class: `under${editing.told ? ' problem' : ''}`, id: `${underId}-change` }, editing.told ?? ''),
      h('div', { class: 'buttons' }, h('button', { type: 'button', class: 'main', on: { click: () => keep(at) } }, 'Keep this'),
        h('button', { type: 'button', class: 'quiet', on: { click: () => takeOut(at) } }, 'Take it out'),
        h('button', { type: 'button', class: 'quiet', on: { click: () => leave(at) } }, 'Leave it as it was')));
  }

  /** What the clock says; worked out whenever it is looked at, so that it is right after a pause of any length. */
  function look() {
    if (!place.isConnected) {
      clearInterval(timer);
      timer = 0;
      document.removeEventListener('visibilitychange', look);
      return;
    }
    const readings = list();
    const began = start();
    const gone = Date.now() - began;
    let text = spec.begin;
    if (readings.length && !(gone >= 0)) text = 'These readings have minutes of their own: type the minute with each new one.';
    else if (readings.length) {
      const whole = Math.floor(gone / MINUTE);
      const long = whole < 1 ? 'Less than a minute' : whole < 180 ? `${whole}\u00a0min` : `${Math.floor(whole / 60)}\u00a0h ${whole % 60}\u00a0min`;
      text = `${long} since the start at ${clock(began)}.`;
    }
    write(since, text);
  }

  function draw() {
    const { name, unit: word } = unitNow();
    write(unit, word);
    look();
    if (!timer && place.isConnected) {
      timer = setInterval(() => { if (!document.hidden) look(); }, LOOK);
      document.addEventListener('visibilitychange', look);
    }
    under.classList.toggle('problem', Boolean(told ?? problem));
    write(under, told ?? problem ?? '');
    const readings = list();
    anew.hidden = readings.length === 0;
    const now = JSON.stringify([readings, word, name, editing?.place, editing?.told, doubted, app.units]);
    if (now === drawn) return;
    drawn = now;
    kind.replaceChildren(...(name ? [`In ${name}. `, linkTo('bag.gauge_kind', 'Another gauge', app.goTo)] : []));
    const focused = place.contains(document.activeElement) ? document.activeElement?.id : '';
    const order = readings.map((one, at) => ({ one, at })).sort((a, b) => (Number(b.one?.min) - Number(a.one?.min)) || b.at - a.at);
    const rows = order.map(({ one, at }) => row(one, at, word));
    const few = rows.length > FEW + 2 ? FEW : rows.length;
    newest.replaceChildren(...rows.slice(0, few));
    older.replaceChildren(...rows.slice(few));
    fold.hidden = rows.length === few;
    write(summary, `${rows.length - few} earlier readings`);
    if (focused && document.activeElement?.id !== focused) document.getElementById(focused)?.focus({ preventScroll: true });
  }

  for (const input of [value, minute]) {
    input.addEventListener('input', () => {
      draft.write({ value: value.value, minute: minute.value });
      if (told) {
        told = null;
        input.removeAttribute('aria-invalid');
        draw();
      }
    });
    input.addEventListener('keydown', (event) => { if (event.key === 'Enter') noteIt(); });
  }
  const waiting = draft.read();
  value.value = waiting.value ?? '';
  minute.value = waiting.minute ?? '';

  const view = {
    /** @param {number[]} which */
    doubt(which) {
      doubted = which;
      draw();
    },
    /** @param {Map<string, string>} problems */
    update(problems) {
      problem = problems.get(path);
      draw();
    },
  };
  logs.set(path, view);
  return view;
}
