// The resin in its pots: the batches in turn to weigh and to tick, the pot in hand, other vessels, what was really weighed in.
import { chartView } from './chart.js';
import { spread, table } from './damp.js';
import { begin, wall } from './clock.js';
import { h, write } from './dom.js';
import { figure } from './figure.js';
import { begunAt } from './moment.js';

const OF_POT = ['use_by_min', 'mass_g', 'depth_mm', 'ten_degrees_min', 'four_times_min', 'gel_min', 'largest_calm_g'];
const OF_WEIGHED = ['per_hundred', 'off_pct'];
const OF_FORMULA = ['per_hundred', 'amine_per_epoxide', 'eew_g_eq', 'ahew_g_eq'];
const VERDICTS = { within: '\u2713 Within what it allows', care: '! Off: take care', outside: '\u2717 Too far off' };

/** Sentences as a list; nothing where there are none. */
export const sentences = (list, tag = 'ul') => (list?.length ? h(tag, { class: 'told-list' }, ...list.map((one) => h('li', {}, one))) : null);

/** Figures by name that are kept up to date. */
export function figuresIn(place, names, hooks) {
  const made = new Map(names.map((name) => [name, figure(hooks)]));
  place.append(...[...made.values()].map(({ el }) => el));
  return (found, sheet) => {
    for (const [name, { el, update }] of made) {
      el.hidden = !found?.[name]?.shown;
      if (!el.hidden) update(found[name], sheet);
    }
  };
}

/** The key under which the day has the mixing of a batch. */
export function stepOf(sheet, number) {
  const keys = (sheet.day?.steps ?? []).map(({ key }) => key);
  return [`mix_${number}`, ...(number === 1 ? ['mix'] : [])].find((key) => keys.includes(key)) ?? null;
}

const timesOf = ({ mix_at: mix, pour_at: pour, empty_by: empty }) => [['Begin to mix', mix], ['Pour it', pour], ['Empty by', empty]];

/** One batch: what to weigh, big enough to read from the scale, and when. */
function batchRow(batch, sheet, hooks) {
  const key = stepOf(sheet, batch.number);
  const began = key && hooks.app ? begunAt(hooks.app.plan, key) : NaN;
  const amount = (label, text) => h('div', { class: 'weigh' }, h('dt', {}, label), h('dd', {}, text));
  return h('li', { class: 'batch' },
    h('h4', {}, `Pot ${batch.number}`, h('span', { class: 'range' }, `, ${batch.total} in all`)),
    h('dl', { class: 'weighs' }, amount('Resin', batch.resin), amount('Hardener', batch.hardener)),
    h('dl', { class: 'times' }, ...timesOf(batch).map(([label, at]) => h('div', { class: 'cell' }, h('dt', {}, label), h('dd', {}, spread(at.text, at.range))))),
    batch.note && h('p', { class: 'batch-note' }, batch.note),
    key && hooks.app && h('p', { class: 'buttons' }, Number.isNaN(began)
      ? h('button', { type: 'button', 'data-key': key, on: { click: () => begin(hooks.app, key) } }, 'Begin to mix now')
      : h('span', { class: 'began' }, `\u2713 begun ${wall(began)}`)));
}

/** One vessel for the same batch. */
const vesselRow = (vessel) => h('li', { class: `material${vessel.this ? ' this' : ''}` },
  h('h4', {}, vessel.name, vessel.this && h('span', { class: 'as-planned' }, ', as your plan says')),
  h('dl', {}, ...[['Use it up within', vessel.use_by], ['Largest that stays calm', vessel.largest_calm]].map(([label, { text, range }]) => h('div', { class: 'cell' }, h('dt', {}, label),
    h('dd', {}, h('span', { class: 'amounts' }, h('span', { class: 'text' }, text), range && h('span', { class: 'range' }, ` ${range}`)))))),
  h('p', {}, vessel.word));

/** Vessels side by side as a table, for paper and handouts. */
export const vesselTable = ({ vessels }) => table('The same batch in other vessels', ['Vessel', 'Use it up within', 'Largest calm', 'Left standing'],
  vessels.map(({ name, use_by: use, largest_calm: largest, word }) => [name, spread(use.text, use.range), spread(largest.text, largest.range), word]));

/** The batches as a table, for handouts. */
export const batchTable = ({ batches }) => table('Pots in turn', ['Pot', 'Resin', 'Hardener', 'Begin to mix', 'Pour it', 'Empty by'],
  batches.map((batch) => [`${batch.number}`, batch.resin, batch.hardener, ...timesOf(batch).map(([, { text, range }]) => spread(text, range))]), 'numbered');

/** Fills in the pots. */
export function potsIn(places, hooks) {
  const batches = h('ol', { class: 'batches' });
  const turn = h('div', {});
  const sentence = h('p', { class: 'told' });
  const name = h('h3', {});
  const potFigures = h('div', { class: 'figures' });
  const warmth = chartView();
  const weighedPlace = h('div', { class: 'figures' });
  const [verdict, weighedTold] = [h('strong', {}), h('p', { class: 'told' })];
  const weighed = h('div', { hidden: true }, h('p', {}, verdict), weighedTold, weighedPlace);
  places.log.classList.add('entries');
  const scale = h('div', { class: 'weighed' }, h('h3', {}, 'What you really weighed in'), places.log, weighed);
  const inHand = h('div', {}, name, sentence, potFigures, warmth.el);
  const all = h('div', { class: 'pots', hidden: true }, h('h3', {}, 'Pots in turn'), batches, turn, scale, inHand);
  places.section.append(all);

  const vessels = h('ul', { class: 'materials vessels' });
  const side = h('div', {}, h('h3', {}, 'The same batch in other vessels'), vessels);
  const [thickens, converts] = [chartView(), chartView()];
  const way = h('div', { class: 'figures' });
  const ages = h('details', {}, h('summary', {}, 'How it thickens on its way'), way, thickens.el, converts.el);
  const known = h('div', {});
  const speed = h('div', { class: 'figures' });
  const sheetSays = h('details', {}, h('summary', {}, 'What is known of this resin'), known, speed);
  const formulaTold = h('p', {});
  const formulaPlace = h('div', { class: 'figures' });
  const formula = h('div', { hidden: true }, h('h3', {}, 'What the formulation says'), formulaTold, formulaPlace);
  const other = h('div', { hidden: true }, side, formula, ages, sheetSays);
  places.polar.append(other);

  const draw = {
    pot: figuresIn(potFigures, OF_POT, hooks), weighed: figuresIn(weighedPlace, OF_WEIGHED, hooks), formula: figuresIn(formulaPlace, OF_FORMULA, hooks),
    way: figuresIn(way, ['fill_in_turn_min'], hooks), speed: figuresIn(speed, ['speed', 'ten_warmer'], hooks),
  };
  let drawn = '';
  return {
    update(mix, sheet) {
      const pots = (mix && sheet?.pots) ?? null;
      for (const part of [all, other]) part.hidden = !pots && !part.contains(document.activeElement);
      if (!pots) return;
      write(name, `The pot in hand: ${pots.pot.name}`);
      write(sentence, pots.pot.sentence);
      draw.pot(pots.pot, sheet);
      warmth.update(pots.pot.chart);
      weighed.hidden = !pots.weighed;
      if (pots.weighed) {
        write(verdict, VERDICTS[pots.weighed.verdict] ?? pots.weighed.verdict);
        write(weighedTold, pots.weighed.sentence);
        draw.weighed(pots.weighed, sheet);
      }
      formula.hidden = !pots.formula;
      if (pots.formula) {
        write(formulaTold, pots.formula.sentence);
        draw.formula(pots.formula, sheet);
      }
      draw.way(pots, sheet);
      draw.speed(pots, sheet);
      thickens.update(pots.thickens);
      converts.update(pots.converts);
      const now = JSON.stringify([pots.batches, pots.turn, pots.vessels, pots.known, hooks.app?.plan.day?.began, sheet.day?.steps.map(({ key }) => key)]);
      if (now === drawn) return;
      drawn = now;
      const focused = batches.contains(document.activeElement) ? document.activeElement?.getAttribute('data-key') : null;
      batches.replaceChildren(...pots.batches.map((batch) => batchRow(batch, sheet, hooks)));
      if (focused) /** @type {HTMLElement | null} */ (batches.querySelector(`[data-key="${focused}"]`) ?? batches.querySelector('button'))?.focus({ preventScroll: true });
      turn.replaceChildren(...[sentences(pots.turn)].filter(Boolean));
      vessels.replaceChildren(...pots.vessels.map(vesselRow));
      side.hidden = !vessels.firstChild;
      known.replaceChildren(...[sentences(pots.known)].filter(Boolean));
    },
  };
}
