// The fill on paper: the part at a third, at two thirds and at the end, and how far resin has come by then.
import { keyOf, pictured } from './board-ask.js';
import { picture } from './board-picture.js';
import { minuteText } from './board-words.js';
import { table } from './damp.js';
import { h } from './dom.js';

/** Width of a frame [CSS px], and dots to each. */
const [WIDE, DOTS] = [240, 3];
const SHARES = [1 / 3, 2 / 3, 1];
/** Black on white, whatever the screen shows. */
const COLOURS = { paper: '#ffffff', ink: '#000000', flax: '#4d4d4d', line: '#555555', hair: '#999999' };

/** What was laid out last, so that it is not drawn again. @type {{ key: string, nodes: () => Node[] }} */
let laid = { key: '', nodes: () => [] };

/**
 * Draws the frames of a plan; empty where nothing is drawn. Never rejects.
 * @param {any} app
 * @returns {Promise<() => Node[]>} Makes the nodes anew each time.
 */
export async function framesOf({ plan, own, core }) {
  if (!plan.part?.shape || plan.route !== 'infusion') return () => [];
  const key = keyOf(plan, own);
  if (laid.key === key) return laid.nodes;
  try {
    const both = await pictured(plan, own);
    if (!both) return () => [];
    const { found, drawn } = both;
    const units = plan.units === 'us' ? 'us' : 'metric';
    const frames = SHARES.map((share) => {
      const canvas = document.createElement('canvas');
      const view = picture(canvas, { colours: () => COLOURS, dots: DOTS, margin: 14 });
      view.take(found, WIDE);
      view.tell(drawn);
      const now = share === 1 ? null : view.state.end * share;
      view.draw({ lines: plan.fill?.lines ?? [], zones: plan.fill?.zones ?? [], now });
      const gelsFirst = view.state.end >= found.gel[1];
      const words = now !== null ? `After ${minuteText(core, units, now)}` : gelsFirst ? `When it gels: ${drawn.gel.text}` : `Full: ${drawn.time.text}`;
      return { words, data: canvas.toDataURL('image/png') };
    });
    const nodes = () => [
      h('div', { class: 'paper-frames' }, ...frames.map(({ words, data }) => h('figure', {}, h('img', { src: data, alt: `${words}. ${drawn.answer}` }), h('figcaption', {}, words)))),
      table(drawn.table.caption, drawn.table.head, drawn.table.rows, 'by-then'),
    ];
    laid = { key, nodes };
    return nodes;
  } catch {
    return () => [];
  }
}
