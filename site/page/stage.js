// One stage of the ticket: closed it is one line, open it is question, answer, notes, entries and the working.
import { h, settle, write } from './dom.js';
import { figure, withUnit } from './figure.js';
import { tablesOf } from './tables.js';
import { viewOf } from './views.js';

const WEIGHTS = { caution: 'Caution', problem: 'Needs a remedy' };

/** The names of the figures of a stage, in its own order; what this job does not have is left out. */
export const figuresOf = (stage) => Object.keys(stage).filter((name) => stage[name]?.shown && !stage[name].absent);

/** Whether a figure is one the hands need. */
export const forHands = (stage, name) => stage.head.hands.includes(name);

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

/** What the closed line adds to a bare ratio. */
const BRIEF = { suit: { after: '\u00a0\u00d7\u00a0glass', range: ', by mass' } };

/** What stands on the left and on the right of a stage, in this order; on a narrow screen all comes one after the other. */
const LAYOUT = {
  suit: 'verdict known form advice|compare',
  bag: 'log section tables polar|advice hands known form details',
  dry: 'advice hands log section tables|polar known form details',
  mix: 'section advice hands tables|known form polar details',
  cure: 'advice hands section tables|known form polar details',
  day: 'form advice section|hands polar details',
};
const USUALLY = 'advice hands section tables polar|known form load back details';

const mainOf = (stage) => (figuresOf(stage).includes(stage.head.main) ? stage[stage.head.main] : null);

/** What the stack must carry, and working backwards from it. */
function more(entriesOf, places) {
  const [load, back] = ['load', 'back'].map((group) => h('div', { class: 'entries' }, ...entriesOf(group)));
  return {
    load: h('div', {}, h('h3', {}, 'What it must carry'), load, places.load),
    back: h('details', { class: 'back' }, h('summary', {}, 'Work backwards'),
      h('p', {}, 'Say what the part must do, here and under what it must carry, and get the stacks that do it. Leave open what does not matter.'), back, places.back),
  };
}

/**
 * @param {{ stage: string, short: string }} card What the core says of the stage.
 * @param {(stage: string) => HTMLElement[]} entriesOf
 */
export function stageSection(card, entriesOf, hooks) {
  const name = card.stage;
  const entries = entriesOf(name);
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
  /** Where what a stage shows beyond its figures comes to stand. @type {Record<string, HTMLElement>} */
  const places = Object.fromEntries(['verdict', 'compare', 'log', 'section', 'polar', 'load', 'back'].map((place) => [place, h('div', {})]));
  places.log.append(...entriesOf(`${name}-log`));
  /** @type {Record<string, any>} */
  const parts = {
    ...places, advice, hands, tables, form, details, known: entries.length > 0 && h('h3', {}, 'What you know'),
    ...(name === 'stack' ? more(entriesOf, places) : {}),
  };
  const sides = (LAYOUT[name] ?? USUALLY).split('|').map((side) => side.split(' ').map((part) => parts[part]));
  const rest = h('div', { id: `${id}-rest`, class: 'rest', hidden: true }, ...sides.map((parts) => h('div', { class: 'side' }, ...parts)));
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

  /** What a stage shows beyond its figures is made when it is opened first. */
  let view = null;
  function drawDeeper() {
    view ??= viewOf(name, places, hooks);
    tables.replaceChildren(...(latest ? tablesOf(name, latest.stage, latest.sheet) : []));
    view.update(latest?.stage ?? null, latest?.sheet ?? null);
  }

  /** Closed, a stage counts its cautions and spells out what needs a remedy; open, it spells out both. */
  function drawUrgent() {
    if (!latest) return;
    const wanted = top.hidden ? ['problem'] : ['caution', 'problem'];
    const notes = notesOf(latest.sheet, name).filter(({ weight }) => wanted.includes(weight));
    // Open, what stands in the way of the day comes with its ways out.
    if (top.hidden) notes.push(...(latest.stage.conflicts ?? []).map(({ sentence }) => ({ weight: 'problem', sentence })));
    urgent.replaceChildren(...notes.map(noteLine));
    urgent.hidden = !urgent.firstChild;
  }

  function drawInside() {
    if (!latest) return;
    const { stage, sheet } = latest;
    const { head } = stage;
    answer.replaceChildren(...answerParts(head.answer, mainOf(stage)));
    const shown = figuresOf(stage);
    for (const [key, { el }] of figures) el.hidden = !shown.includes(key);
    details.hidden = shown.every((key) => key === head.main || forHands(stage, key)) && !details.contains(document.activeElement);
    for (const key of shown) {
      if (key === head.main) drawFigure(key, mainPlace);
      else if (forHands(stage, key)) drawFigure(key, hands);
      else if (details.open) drawFigure(key, working);
    }
    advice.replaceChildren(...notesOf(sheet, name).filter(({ weight }) => weight === 'advice').map(noteLine));
    advice.hidden = !advice.firstChild;
    drawDeeper();
  }

  /** A stage that is not there goes, but not while the reader is in it or an entry in it needs another look. */
  const away = (without) => without && !section.querySelector('[aria-invalid]') && !section.contains(document.activeElement);
  section.addEventListener('focusout', () => setTimeout(() => { if (!latest && away(gone)) section.hidden = true; }));
  let gone = true;

  return {
    el: section, open, head: button,
    /** @param {any} stage @param {any} sheet */
    update(stage, sheet) {
      gone = !stage && Boolean(sheet);
      section.hidden = away(gone);
      latest = stage ? { stage, sheet } : null;
      if (!stage) {
        write(short, card.short);
        write(question, card.short);
        write(value, '');
        write(range, '');
        write(gist, '');
        write(warn, '');
        for (const part of [urgent, advice, tables, answer]) part.replaceChildren();
        for (const { el } of figures.values()) el.hidden = true;
        if (view) drawDeeper();
        return;
      }
      const { head } = stage;
      const main = mainOf(stage);
      write(short, head.short);
      write(question, head.question);
      write(gist, head.answer);
      const before = value.textContent;
      if (write(value, main ? withUnit(main.shown) + (BRIEF[name]?.after ?? '') : '') && before) settle(value);
      write(range, main?.shown.range ? main.shown.range + (BRIEF[name]?.range ?? '') : '');
      const cautions = notesOf(sheet, name).filter(({ weight }) => weight === 'caution').length;
      write(warn, cautions ? `! ${cautions} ${cautions === 1 ? 'caution' : 'cautions'}` : '');
      drawUrgent();
      if (!top.hidden) drawInside();
    },
  };
}
