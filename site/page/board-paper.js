// The fill on paper: the part at a third, at two thirds and at the end, and how far resin has come by then.
import { ask, keyOf, pictured } from './board-ask.js';
import { heldFor, permeabilityText, unkept } from './board-learn.js';
import { lengthsOf } from './board-length.js';
import { inOrder, markWords, marksOf, placesOf } from './board-marks.js';
import { picture } from './board-picture.js';
import { minuteText } from './board-words.js';
import { spread, table } from './damp.js';
import { h } from './dom.js';

/** Width of a frame [CSS px], and dots to each. */
const [WIDE, DOTS] = [240, 3];
const SHARES = [1 / 3, 2 / 3, 1];
/** Black on white, whatever the screen shows. */
const COLOURS = { paper: '#ffffff', ink: '#000000', flax: '#4d4d4d', line: '#555555', hair: '#999999' };

/** What was laid out last, so that it is not drawn again. @type {{ key: string, nodes: () => Node[] }} */
let laid = { key: '', nodes: () => [] };

const clothTold = (before, { name, value }) => {
  const { text, range } = permeabilityText(value);
  return h('span', {}, before, name, ': ', spread(text, range), '. ');
};

/** What was seen of the front and what it says, in short; nothing where nothing was noted. */
async function marksTold({ plan, own, core, shelf }, units) {
  const marks = marksOf(plan);
  const kept = heldFor({ plan, own, shelf });
  if (marks.length === 0) return () => [];
  const text = (min) => minuteText(core, units, min);
  const words = inOrder(marks).map(({ mark }) => markWords(mark, lengthsOf({ core, units }), text)).join('; ');
  const answer = await ask('learn', plan, own).catch(() => null);
  const learned = answer?.problems ? null : answer;
  return () => [h('p', { class: 'in-a-line' }, h('b', {}, 'Front: '), `${words}. `, learned && `${learned.sentence} `,
    learned?.full && h('span', {}, learned.full.label, ' ', spread(learned.full.text, learned.full.range), '. '),
    ...(learned ? unkept(learned, own) : []).map((one) => clothTold('', one)), ...kept.map((one) => clothTold('Kept for ', one)))];
}

/** The part at three times, and its table. */
async function framesTold({ plan, own, core }, units) {
  const both = plan.part?.shape && await pictured(plan, own);
  if (!both) return () => [];
  const { found, drawn } = both;
  const places = placesOf(plan, (min) => minuteText(core, units, min));
  const frames = SHARES.map((share) => {
    const canvas = document.createElement('canvas');
    const view = picture(canvas, { colours: () => COLOURS, dots: DOTS, margin: 14 });
    view.take(found, WIDE);
    view.tell(drawn);
    const now = share === 1 ? null : view.state.end * share;
    view.draw({ lines: plan.fill?.lines ?? [], zones: plan.fill?.zones ?? [], now, marks: places });
    const gelsFirst = view.state.end >= found.gel[1];
    const words = now !== null ? `After ${minuteText(core, units, now)}` : gelsFirst ? `When it gels: ${drawn.gel.text}` : `Full: ${drawn.time.text}`;
    return { words, data: canvas.toDataURL('image/png') };
  });
  return () => [
    h('div', { class: 'paper-frames' }, ...frames.map(({ words, data }) => h('figure', {}, h('img', { src: data, alt: `${words}. ${drawn.answer}` }), h('figcaption', {}, words)))),
    table(drawn.table.caption, drawn.table.head, drawn.table.rows, 'by-then'),
  ];
}

/**
 * Draws the frames of a plan and tells its marks; empty where nothing is drawn and nothing was seen. Never rejects.
 * @param {any} app
 * @returns {Promise<() => Node[]>} Makes the nodes anew each time.
 */
export async function framesOf(app) {
  const { plan, own } = app;
  if (plan.route !== 'infusion' || !hasFill(plan)) return () => [];
  const key = keyOf(plan, own);
  if (laid.key === key) return laid.nodes;
  const units = plan.units === 'us' ? 'us' : 'metric';
  try {
    const parts = [await framesTold(app, units), await marksTold(app, units)];
    const nodes = () => parts.flatMap((part) => part());
    laid = { key, nodes };
    return nodes;
  } catch {
    return () => [];
  }
}

/** Whether there is anything of a fill to lay out. */
const hasFill = (plan) => Boolean(plan.part?.shape) || marksOf(plan).length > 0;
