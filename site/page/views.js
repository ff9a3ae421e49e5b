// What each stage shows beyond its figures: charts, tables of its own, the drawing board, working back, the day.
import { backPart } from './back.js';
import { boardIn } from './board.js';
import { bagIn, dryIn } from './damp.js';
import { dayIn } from './day.js';
import { h } from './dom.js';
import { loadView } from './load.js';
import { matricesView, polarView } from './polar.js';
import { potsIn } from './pots.js';
import { sectionFigure } from './section.js';
import { settingIn } from './setting.js';
import { suitView } from './suit.js';

/**
 * Fills the places that a stage keeps for it.
 * @param {string} name
 * @param {Record<string, HTMLElement>} places
 * @returns {{ update: (stage: any, sheet: any) => void }}
 */
export function viewOf(name, places, hooks) {
  return VIEWS[name]?.(places, hooks) ?? { update() {} };
}

const VIEWS = { suit: suitIn, stack: stackIn, bag: bagIn, dry: dryIn, mix: potsIn, fill: boardIn, cure: settingIn, day: dayIn };

function suitIn(places) {
  const view = suitView();
  places.verdict.append(view.verdict);
  places.compare.append(view.el);
  return { update: (suit) => view.update(suit) };
}

function stackIn(places, hooks) {
  const polar = polarView();
  const matrices = matricesView();
  const load = loadView(hooks);
  const section = h('div', {});
  places.section.append(section);
  places.polar.append(polar.el, matrices.el);
  places.load.append(load.el);
  const back = hooks.ask ? backPart(hooks.ask, hooks) : null;
  if (back) places.back.append(back.el);
  let drawn = '';
  return {
    update(stack, sheet) {
      const plies = stack?.plies ?? [];
      const now = JSON.stringify(plies.map(({ name, angle_deg: angle, top, architecture }) => [name, angle, top, architecture]));
      if (now !== drawn) {
        drawn = now;
        section.replaceChildren(...[sectionFigure(plies)].filter(Boolean));
      }
      polar.update(stack?.polar ?? null);
      matrices.update(stack?.stiffness_matrices ?? null);
      load.update(stack?.load ?? null, sheet);
      back?.update();
    },
  };
}
