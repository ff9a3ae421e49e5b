// The handout element: one stage of one plan, worked out on the reader's own device. It stores nothing.
//
// <bast-work stage="dry" plan='{"part":{"area_m2":0.62},...}' fixed="dry.oven_c=60;room.humidity_pct=70"
//            open="store.humidity_pct,stack.0.count" theme="page" heading="3"></bast-work>
import { askedOf, entryFor, isOneEntry } from './asked.js';
import { chartFigure, gridOf } from './chart.js';
import { core, load } from './core.js';
import { gaugeTable, toldOf, waitTable } from './damp.js';
import { conflictList, stepTable } from './day.js';
import { h, write } from './dom.js';
import { numberEntry } from './entry.js';
import { figure } from './figure.js';
import { stages } from './job.js';
import { isRecord, planBytes, readJson } from './json.js';
import { inZone } from './moment.js';
import { copyOf, put } from './path.js';
import { batchTable, sentences, vesselTable } from './pots.js';
import { sectionFigure } from './section.js';
import { laterTable, postTable } from './setting.js';
import { answerParts, figuresOf, forHands, noteLine } from './stage.js';
import { tablesOf } from './tables.js';
import { RESTS_ON } from './wherefrom.js';

const WEIGHTS = ['caution', 'problem', 'advice'];

/** What is worked out when the handout brings no plan. */
const EXAMPLE = {
  format: 1, name: 'Hive roof', part: { area_m2: 0.62, flow_length_mm: 420 }, route: 'infusion',
  stack: [{ fabric: 'flax_twill_300', count: 4, angle_deg: 0 }],
  room: { temperature_c: 19, humidity_pct: 62, altitude_m: 240 },
  bag: { pressure_mbar_abs: 15, flow_mesh: false, peel_ply: true }, resin: 'infusion_epoxy_slow',
};

/** The places of a plan that a handout may fix or leave open; nothing else is touched. */
const PLACE = /^(?:(?:part|room|bag|store|dry|mix|fill|cure|trim|day|measured)\.[a-z][a-z0-9_]*|stack\.\d{1,2}\.(?:count|angle_deg|fabric)|resin|route)$/;
const listOf = (/** @type {string | null} */ text, /** @type {RegExp} */ between) => (text ?? '').split(between).map((part) => part.trim()).filter(Boolean);

class BastWork extends HTMLElement {
  static observedAttributes = ['stage', 'plan', 'fixed', 'open', 'heading'];

  #due = false;
  #place = h('div', { hidden: true });

  constructor() {
    super();
    const sheet = h('link', { rel: 'stylesheet', href: new URL('bast-work.css', import.meta.url).href });
    // Shown once it can be shown as meant, and in any case.
    for (const event of ['load', 'error']) sheet.addEventListener(event, () => { this.#place.hidden = false; });
    this.attachShadow({ mode: 'open' }).append(sheet, this.#place);
  }

  connectedCallback() {
    this.#begin();
  }

  attributeChangedCallback() {
    if (this.isConnected) this.#begin();
  }

  /** Starts anew from the attributes, once for all that change together. */
  #begin() {
    if (this.#due) return;
    this.#due = true;
    load().then(() => this.#build(), () => this.#show('The part of Bastwork that works this out could not be loaded. Load the page again.'))
      .finally(() => { this.#due = false; });
  }

  /** @param {string} sentence */
  #show(sentence) {
    this.#place.replaceChildren(h('p', { class: 'problem' }, sentence), origin());
  }

  #build() {
    const stage = this.getAttribute('stage') ?? 'dry';
    if (!stages().includes(stage)) return this.#show(`There is no stage "${stage}". The stages are ${stages().join(', ')}.`);
    const text = this.getAttribute('plan');
    const plan = text === null ? copyOf(EXAMPLE) : text.length <= planBytes ? readJson(text) : undefined;
    if (!isRecord(plan)) return this.#show('The plan of this handout cannot be read: check its quotes and commas.');

    const work = worksheet(plan);
    const unknown = [];
    const fixed = listOf(this.getAttribute('fixed'), /[;\n]/).map((pair) => pair.split(/=(.*)/s).map((part) => part.trim()));
    for (const [path, value = ''] of fixed) {
      if (PLACE.test(path) && work.knows(path)) work.fix(path, value);
      else unknown.push(path);
    }
    for (const path of listOf(this.getAttribute('open'), /[,;\s]+/)) {
      if (!PLACE.test(path) || !work.knows(path)) unknown.push(path);
      else if (!fixed.some(([other]) => other === path)) work.open(path);
    }
    const level = Math.min(5, Math.max(1, Number.parseInt(this.getAttribute('heading') ?? '3', 10) || 3));
    this.#place.replaceChildren(...work.render(stage, level, unknown), origin());
    work.update();
    return undefined;
  }
}

/** One plan with its given and open places, and the view of one stage of it. @param {Record<string, any>} plan */
function worksheet(plan) {
  const units = plan.units === 'us' ? 'us' : 'metric';
  const asked = askedOf(core, units);
  const shelf = core.shelf(null);
  /** @type {[string, string][]} */
  const given = [];
  /** @type {Map<string, any>} */
  const entries = new Map();
  let update = () => {};
  const app = {
    core, units, plan, shelf, say: () => {}, stamp: () => {},
    set(/** @type {string} */ path, /** @type {any} */ value) {
      put(plan, path, value);
      update();
    },
  };

  /** What the core asks at a place of the plan; nothing where a handout has no entry for it. */
  function at(/** @type {string} */ path) {
    const found = asked.get(path.replace(/^stack\.\d+\./, 'stack.'));
    return found && isOneEntry(found) ? found : null;
  }

  const knows = (/** @type {string} */ path) => at(path) !== null;

  function fix(/** @type {string} */ path, /** @type {string} */ text) {
    const { key, kind, label, unit, options, table } = /** @type {import('./asked.js').Asked} */ (at(path));
    // What a handout fixes is metric, as its key says, whatever the reader's units.
    const number = kind === 'number' || kind === 'count' ? core.read_entry(key, text, 'metric').value : undefined;
    const value = kind === 'switch' ? text === 'true' : number ?? text;
    put(plan, path, value);
    const amount = () => `${core.show_entry(key, number, units)}${/^[%°]?$/.test(unit) ? '' : '\u00a0'}${unit}`;
    const chosen = () => options.find(({ word }) => word === text)?.label ?? shelf[table]?.find((/** @type {any} */ one) => one.key === text)?.name;
    given.push([label, shownAs(kind, value, text, number === undefined ? chosen : amount)]);
  }

  function open(/** @type {string} */ path) {
    const spec = /** @type {import('./asked.js').Asked} */ (at(path));
    const entry = spec.key === 'stack.count' ? numberEntry(app, { ...spec, path, count: true }) : entryFor(app, { ...spec, read_off: false }, path);
    entries.set(path, entry);
  }

  function render(/** @type {string} */ stage, /** @type {number} */ level, /** @type {string[]} */ unknown) {
    const heading = (/** @type {number} */ more, /** @type {any} */ words, /** @type {string} */ name = '') => h(`h${level + more}`, { class: name || 'sub' }, words);
    const question = heading(0, '', 'question');
    const answer = h('p', { class: 'answer', role: 'status' });
    const [main, hands, tables, more] = ['main-figure', 'figures', 'tables', 'figures'].map((name) => h('div', { class: name }));
    const [urgent, advice, rests] = [h('ul', { class: 'notes' }), h('ul', { class: 'notes' }), h('p', { class: 'rests' })];
    const rest = h('details', {}, h('summary', {}, 'More figures'), more);
    const first = h('p', { class: 'rests' });
    const hooks = {
      entryLabel: (/** @type {string} */ key) => entries.get(key)?.label ?? null,
      hasEntry: (/** @type {string} */ key) => entries.has(key),
      goToInput: (/** @type {string} */ key) => entries.get(key)?.focus(),
    };
    const figures = new Map();

    update = () => {
      const result = core.sheet(inZone(plan), null);
      const sheet = result.sheet;
      const problems = new Map((result.problems ?? []).map((/** @type {any} */ one) => [one.field, one.sentence]));
      const part = sheet?.[stage];
      const state = { plan, problems };
      for (const entry of entries.values()) entry.update(state);
      for (const place of [main, rests, urgent, hands, tables, advice, rest, first]) place.hidden = !part;
      if (!part) {
        const waits = [...entries.values()].filter(({ path }) => problems.has(path)).map(({ label }) => `The answer waits for "${label}".`);
        const others = [...problems].filter(([path]) => !entries.has(path)).map(([, sentence]) => sentence);
        const sentence = [...waits, ...others].join(' ') || 'This way of moulding has no such step.';
        write(answer, sentence);
        if (!question.textContent) question.hidden = true;
        return;
      }
      const big = part[part.head.main]?.shown ? part[part.head.main] : null;
      question.hidden = false;
      write(question, part.head.question);
      if (answer.textContent !== part.head.answer) answer.replaceChildren(...answerParts(part.head.answer, big));
      for (const name of figuresOf(part)) {
        if (!figures.has(name)) {
          figures.set(name, figure(hooks));
          (name === part.head.main ? main : forHands(part, name) ? hands : more).append(figures.get(name).el);
        }
        figures.get(name).update(part[name], sheet);
      }
      tables.replaceChildren(...deeper(stage, part, sheet, `h${level + 1}`), ...tablesOf(stage, part, sheet));
      rest.hidden = !more.firstChild;
      write(first, sheet.comes_first);
      rests.dataset.basis = big?.basis ?? '';
      rests.replaceChildren(...(big ? ['Rests on ', h('span', {}, RESTS_ON[/** @type {keyof typeof RESTS_ON} */ (big.basis)] ?? big.basis), '.'] : []));
      const said = sheet.notes.filter((/** @type {any} */ note) => note.stage === stage);
      said.sort((/** @type {any} */ a, /** @type {any} */ b) => WEIGHTS.indexOf(a.weight) - WEIGHTS.indexOf(b.weight));
      for (const [list, wanted] of /** @type {[HTMLElement, boolean][]} */ ([[urgent, false], [advice, true]])) {
        list.replaceChildren(...said.filter((/** @type {any} */ note) => (note.weight === 'advice') === wanted).map(noteLine));
        list.hidden = !list.firstChild;
      }
    };

    return [
      question, answer, main, rests, urgent,
      ...(given.length > 0 ? [heading(1, 'Given'), h('dl', { class: 'given-list' }, ...given.map(([label, value]) => h('div', {}, h('dt', {}, label), h('dd', {}, value))))] : []),
      ...(entries.size > 0 ? [heading(1, 'Yours to choose'), h('div', { class: 'entries' }, ...[...entries.values()].map(({ el }) => el))] : []),
      ...(unknown.length > 0 ? [h('p', { class: 'problem' }, `This handout names ${unknown.map((path) => `"${path}"`).join(', ')}, which is no entry of Bastwork.`)] : []),
      hands, tables, advice, rest, first,
    ];
  }

  return { knows, fix, open, render, update: () => update() };
}

/** What a handout fixes, as its list of givens has it. */
function shownAs(/** @type {string} */ kind, /** @type {any} */ value, /** @type {string} */ text, /** @type {() => string | undefined} */ inWords) {
  if (kind === 'switch') return value ? 'yes' : 'no';
  if (kind === 'moment') return text.replace('T', ', ');
  return inWords() ?? text;
}

/** A chart with its figures behind a word. */
const charted = (chart) => [chartFigure(chart), h('details', {}, h('summary', {}, 'As a table'), gridOf(chart))];

/** What a stage shows beyond its figures: the stack in section, what a drop test tells, how the cloth dries, pots, setting, the day. */
function deeper(stage, part, sheet, heading) {
  const found = DEEPER[stage]?.(part, sheet, heading) ?? [];
  return found.filter(Boolean);
}

const DEEPER = {
  suit: (part) => [sentences(part.verdict.filter((/** @type {string} */ sentence) => sentence !== part.head.answer))],
  stack: (part) => [part.plies?.length > 0 && sectionFigure(part.plies)],
  bag: (part, sheet, heading) => [...(part.test ? [...toldOf(part.test, sheet, heading), ...charted(part.test.chart)] : []), gaugeTable(part)],
  dry: (part) => [part.weighed && h('p', {}, part.weighed.sentence), ...(part.curve ? charted(part.curve) : []), part.waits.length > 0 && waitTable(part)],
  mix: (_, { pots }) => (pots ? [batchTable(pots), sentences(pots.turn), h('p', { class: 'told' }, pots.pot.sentence), ...charted(pots.pot.chart),
    pots.weighed && h('p', {}, pots.weighed.sentence), vesselTable(pots), pots.formula && h('p', {}, pots.formula.sentence), ...charted(pots.thickens)] : []),
  cure: (_, { setting }) => (setting ? [h('p', { class: 'told' }, setting.decides), sentences(setting.after_fill?.order, 'ol'), ...charted(setting.hardness), h('p', {}, setting.warms),
    setting.later.length > 0 && laterTable(setting), setting.post && h('p', {}, setting.post.sentence), setting.posts.length > 0 && postTable(setting), sentences(setting.proof)] : []),
  day: (part) => [h('p', {}, part.start_from), part.conflicts.length > 0 && conflictList(part.conflicts), stepTable(part)],
};

function origin() {
  const link = h('a', { href: new URL('./', import.meta.url).href, target: '_blank', rel: 'noopener' }, 'Bastwork');
  return h('p', { class: 'origin' }, 'From ', link, ', worked out on your own device; nothing typed here is sent or kept.');
}

if (!customElements.get('bast-work')) customElements.define('bast-work', BastWork);
