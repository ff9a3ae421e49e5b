// One stage of the ticket: closed it is one line, open it is question, answer, notes, entries and the working.
import { h, settle, write } from './dom.js';
import { figure, withUnit } from './figure.js';
import { tablesOf } from './tables.js';

/** Figures that the hands need; the others are in the working. */
const HANDS = {
  stack: ['part_mass_g', 'fibre_mass_g'],
  dry: ['weigh_now_g', 'weigh_target_g', 'oven_min', 'bag_h', 'out_of_oven_min', 'lowest_pressure_mbar'],
  mix: ['resin_g', 'hardener_g', 'resin_to_mix_g', 'use_within_min', 'smallest_batch_g'],
  fill: ['time_min', 'gel_min', 'longest_without_mesh_mm', 'longest_with_mesh_mm'],
  cure: ['gel_h', 'demould_h', 'tg_c'],
  trim: ['max_rpm', 'set_rpm', 'feed_mm_s', 'oversize_mm'],
};
const WEIGHTS = { caution: 'Caution', problem: 'Needs a remedy' };

/** What a stage is called before there is a sheet. */
const BEFORE = { stack: 'Stack', dry: 'Dry', mix: 'Mix', fill: 'Fill', cure: 'Cure', trim: 'Trim' };

/** Figures that are zero where the tool has no such thing: a blade that does not turn, a wheel without edges. */
const NONE_WHEN_ZERO = new Set(['max_rpm', 'set_rpm', 'surface_speed_m_s', 'chip_load_mm']);

/** The names of the figures of a stage, in its own order. */
export const figuresOf = (stage) => Object.keys(stage).filter((name) => stage[name]?.shown && !(NONE_WHEN_ZERO.has(name) && stage[name].high === 0));

/** Whether a figure is one the hands need. */
export const forHands = (stage, name) => HANDS[stage]?.includes(name) ?? false;

/**
 * The answer with its main figure set large.
 * @returns {(Node | string)[]}
 */
export function answerParts(answer, main) {
  const amount = main ? withUnit(main.shown) : '';
  const at = amount ? answer.indexOf(amount) : -1;
  if (at < 0) return [answer];
  const { likely } = main.shown;
  return [answer.slice(0, at),
    h('strong', { class: 'big' }, likely, h('span', { class: 'unit' }, amount.slice(likely.length))),
    answer.slice(at + amount.length)];
}

/** A note: its weight in words and a mark, then the sentence. */
export function noteLine({ weight, sentence }) {
  const word = WEIGHTS[weight];
  return h('li', { class: `note ${weight}` }, word && h('strong', {}, `${word}: `), sentence);
}

const RANK = ['caution', 'problem', 'advice'];

/** The notes of a stage, the heaviest first. */
export function notesOf(sheet, name) {
  return sheet.notes.filter(({ stage }) => stage === name).sort((a, b) => RANK.indexOf(a.weight) - RANK.indexOf(b.weight));
}

const mainOf = (stage) => (figuresOf(stage).includes(stage.head.main) ? stage[stage.head.main] : null);

/**
 * @param {string} name The stage's name in the sheet.
 * @param {HTMLElement[]} entries Its entries.
 */
export function stageSection(name, entries, hooks) {
  const id = `stage-${name}`;
  const short = h('span', { class: 'short' });
  const question = h('span', { class: 'question' });
  const gist = h('span', { class: 'gist' });
  const value = h('span', {});
  const range = h('span', { class: 'range' });
  const brief = h('span', { class: 'brief' }, value, ' ', range);
  const warn = h('span', { class: 'warn' });
  const button = h('button', { type: 'button', id: `${id}-head`, 'aria-expanded': 'false', 'aria-controls': `${id}-top ${id}-rest` }, short, question, gist, warn, brief);
  const answer = h('p', { class: 'answer' });
  const mainPlace = h('div', { class: 'main-figure' });
  const top = h('div', { id: `${id}-top`, class: 'top', hidden: true }, answer, mainPlace);
  const urgent = h('ul', { class: 'notes' });
  const advice = h('ul', { class: 'notes' });
  const hands = h('div', { class: 'figures' });
  const tables = h('div', { class: 'tables' });
  const working = h('div', { class: 'figures' });
  const form = h('div', { class: 'entries' }, ...entries);
  const details = h('details', { class: 'working' }, h('summary', {}, 'The working'), working);
  const rest = h('div', { id: `${id}-rest`, class: 'rest', hidden: true },
    h('div', { class: 'side' }, advice, hands, tables),
    h('div', { class: 'side' },
      entries.length > 0 && h('h3', {}, 'What you know'), form,
      details));
  const section = h('section', { class: 'stage', id, 'aria-labelledby': `${id}-head`, hidden: true },
    h('h2', {}, button), top, urgent, rest);

  /** What is not open is not drawn; it is when it opens. @type {{ stage: any, sheet: any } | null} */
  let latest = null;
  const open = (wanted) => {
    button.setAttribute('aria-expanded', String(wanted));
    top.hidden = !wanted;
    rest.hidden = !wanted;
    hooks.remember(name, wanted);
    drawUrgent();
    if (wanted) drawInside();
  };
  button.addEventListener('click', () => open(top.hidden));
  details.addEventListener('toggle', () => { if (details.open) drawInside(); });

  /** @type {Map<string, ReturnType<typeof figure>>} */
  const figures = new Map();
  function drawFigure(key, place) {
    const { stage, sheet } = /** @type {{ stage: any, sheet: any }} */ (latest);
    const made = figures.get(key) ?? figure(hooks);
    if (!figures.has(key)) {
      figures.set(key, made);
      place.append(made.el);
    }
    made.update(stage[key], sheet);
  }

  /** Closed, a stage counts its cautions and spells out what needs a remedy; open, it spells out both. */
  function drawUrgent() {
    if (!latest) return;
    const wanted = top.hidden ? ['problem'] : ['caution', 'problem'];
    urgent.replaceChildren(...notesOf(latest.sheet, name).filter(({ weight }) => wanted.includes(weight)).map(noteLine));
    urgent.hidden = !urgent.firstChild;
  }

  function drawInside() {
    if (!latest) return;
    const { stage, sheet } = latest;
    const { head } = stage;
    answer.replaceChildren(...answerParts(head.answer, mainOf(stage)));
    const shown = figuresOf(stage);
    for (const [key, { el }] of figures) el.hidden = !shown.includes(key);
    for (const key of shown) {
      if (key === head.main) drawFigure(key, mainPlace);
      else if (forHands(name, key)) drawFigure(key, hands);
      else if (details.open) drawFigure(key, working);
    }
    advice.replaceChildren(...notesOf(sheet, name).filter(({ weight }) => weight === 'advice').map(noteLine));
    advice.hidden = !advice.firstChild;
    tables.replaceChildren(...tablesOf(name, stage));
  }

  return {
    el: section, open, head: button,
    /** @param {any} stage @param {any} sheet */
    update(stage, sheet) {
      // A stage that this way of moulding does not have stays as long as an entry in it needs another look.
      section.hidden = Boolean(sheet) && !stage && !section.querySelector('[aria-invalid]');
      latest = stage ? { stage, sheet } : null;
      if (!stage) {
        write(short, BEFORE[name]);
        write(question, BEFORE[name]);
        write(value, '');
        write(range, '');
        write(gist, '');
        write(warn, '');
        for (const part of [urgent, advice, tables, answer]) part.replaceChildren();
        for (const { el } of figures.values()) el.hidden = true;
        return;
      }
      const { head } = stage;
      const main = mainOf(stage);
      write(short, head.short);
      write(question, head.question);
      write(gist, head.answer);
      const before = value.textContent;
      if (write(value, main ? withUnit(main.shown) : '') && before) settle(value);
      write(range, main?.shown.range ?? '');
      const cautions = notesOf(sheet, name).filter(({ weight }) => weight === 'caution').length;
      write(warn, cautions ? `! ${cautions} ${cautions === 1 ? 'caution' : 'cautions'}` : '');
      drawUrgent();
      if (!top.hidden) drawInside();
    },
  };
}
