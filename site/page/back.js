// Works backwards: from what the part must do to the stacks that do it, as a list, a plot and rows for the plan.
import { h, linkTo, svg, write } from './dom.js';
import { copyOf } from './path.js';
import { rings } from './polar.js';

const SIZE = { wide: 320, high: 250, left: 44, right: 14, top: 26, bottom: 44 };

const FIGURES = [
  ['thickness', 'Thickness'], ['mass', 'Mass of the part'], ['bending', 'Bending stiffness, per width'], ['deflection', 'Gives under the load'],
  ['reserve', 'First damage over the load'], ['fossil', 'Fossil carbon'], ['cost', 'Cost'], ['fill', 'Fill'],
];

const at = (number) => number.toFixed(1);
const whole = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 0 });
const plain = new Intl.NumberFormat('en-GB', { maximumSignificantDigits: 3, useGrouping: false });
const counted = (count, one, many) => `${whole.format(count)} ${count === 1 ? one : many}`;

/** What the search depends on: everything but the stack that lies there now, and words. */
const questionOf = ({ stack, name, note, id, stamps, ...rest }) => JSON.stringify([rest, (Array.isArray(stack) ? stack : []).filter(({ fabric }) => typeof fabric === 'object').map(({ fabric }) => fabric)]);

/**
 * Rows of a found stack as rows of the plan; what was written out in the plan is put back in full.
 * @param {any} plan
 * @param {{ fabric: string, name: string, count: number, angle_deg: number }[]} rows
 */
export function rowsFor(plan, rows) {
  const written = (Array.isArray(plan.stack) ? plan.stack : []).map(({ fabric }) => fabric).filter((fabric) => fabric !== null && typeof fabric === 'object');
  return rows.map(({ fabric, name, count, angle_deg }) => {
    const own = fabric === 'own' && (written.find((one) => one.name === name) ?? written[0]);
    return { fabric: own ? copyOf(own) : fabric, count, angle_deg };
  });
}

function sentenceOf(front) {
  const [thin, light] = [front[0], front.at(-1)];
  const one = (point) => `${plain.format(point.thickness_mm)} mm at ${plain.format(point.mass_g_m2)} g/m²`;
  if (front.length === 1) return `One stack is both the thinnest and the lightest: ${one(thin)}.`;
  return `Thickness across, mass up. ${front.length} stacks that no other beats at both: from the thinnest, ${one(thin)}, to the lightest, ${one(light)}. Letters mark those that are listed below.`;
}

/** A scale that holds the values, its ends round: where it begins and its marks. */
function scaleOf(values) {
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const spread = most - least || most || 1;
  const [step] = rings(spread, 3);
  const from = Math.max(0, Math.floor((least - step * 0.2) / step) * step);
  const to = Math.ceil((most + step * 0.2) / step) * step;
  const marks = [];
  for (let mark = from; mark <= to + step / 2; mark += step) marks.push(Number(mark.toPrecision(6)));
  return { from, to, marks };
}

/** Whether there is a trade-off to draw: more than one stack, and apart by more than rounding. */
function spreads(front) {
  const apart = (values) => Math.max(...values) > Math.min(...values) * 1.01;
  return front?.length > 1 && (apart(front.map((point) => point.thickness_mm)) || apart(front.map((point) => point.mass_g_m2)));
}

/** The trade-off between thickness and mass. */
function frontPlot(front) {
  const { wide, high, left, right, top, bottom } = SIZE;
  const across = scaleOf(front.map(({ thickness_mm: value }) => value));
  const up = scaleOf(front.map(({ mass_g_m2: value }) => value));
  const x = (value) => left + ((value - across.from) / (across.to - across.from || 1)) * (wide - left - right);
  const y = (value) => high - bottom - ((value - up.from) / (up.to - up.from || 1)) * (high - bottom - top);
  const marked = front.filter(({ found }) => found);
  // A letter stands clear of those before it.
  const taken = [];
  const letters = marked.map((point) => {
    let [tx, ty] = [x(point.thickness_mm) + 7, y(point.mass_g_m2) - 6];
    while (taken.some(([ox, oy]) => Math.abs(ox - tx) < 11 && Math.abs(oy - ty) < 13)) ty -= 14;
    if (ty < 10) { ty = y(point.mass_g_m2) + 16; tx -= 2; }
    taken.push([tx, ty]);
    return svg('text', { class: 'beside mark', x: at(Math.min(tx, wide - 10)), y: at(ty) }, point.found);
  });
  return svg('svg', { class: 'front-view', viewBox: `0 0 ${wide} ${high}`, role: 'img', 'aria-label': sentenceOf(front), focusable: 'false' },
    svg('path', { class: 'ring', d: up.marks.map((mark) => `M${left} ${at(y(mark))}H${wide - right}`).join('') }),
    svg('path', { class: 'axis', d: `M${left} ${top}V${high - bottom}H${wide - right}${across.marks.map((mark) => `M${at(x(mark))} ${high - bottom}v4`).join('')}` }),
    ...across.marks.map((mark) => svg('text', { class: 'beside small', x: at(x(mark)), y: high - bottom + 17, 'text-anchor': 'middle' }, plain.format(mark))),
    ...up.marks.map((mark) => svg('text', { class: 'beside small', x: left - 6, y: at(y(mark) + 4), 'text-anchor': 'end' }, plain.format(mark))),
    svg('text', { class: 'beside small', x: wide - right, y: high - 6, 'text-anchor': 'end' }, 'thickness, mm'),
    svg('text', { class: 'beside small', x: 2, y: 12 }, 'mass, g/m²'),
    svg('path', { class: 'trade', d: `M${front.map((point) => `${at(x(point.thickness_mm))} ${at(y(point.mass_g_m2))}`).join('L')}` }),
    ...front.filter(({ found }) => !found).map((point) => svg('circle', { class: 'rest-dot', cx: at(x(point.thickness_mm)), cy: at(y(point.mass_g_m2)), r: 2.5 })),
    ...marked.map((point) => svg('circle', { class: 'found-dot', cx: at(x(point.thickness_mm)), cy: at(y(point.mass_g_m2)), r: 4.5 })),
    ...letters);
}

function frontTable(front) {
  return h('table', {}, h('caption', {}, 'Stacks that no other beats at both thickness and mass'),
    h('thead', {}, h('tr', {}, ...['Thickness', 'Mass', 'Fossil carbon', 'Plies'].map((head) => h('th', { scope: 'col' }, head)))),
    h('tbody', {}, ...front.map((point) => h('tr', {},
      h('th', { scope: 'row' }, `${plain.format(point.thickness_mm)}\u00a0mm${point.found ? `, ${point.found}` : ''}`),
      h('td', {}, `${plain.format(point.mass_g_m2)}\u00a0g/m²`), h('td', {}, `${plain.format(point.fossil_kg_m2)}\u00a0kg\u00a0CO₂e/m²`), h('td', {}, `${point.plies}`)))));
}

function stackBlock(found, place, layStack) {
  const letter = found.letter ?? String.fromCharCode(65 + place);
  const words = (found.titles?.length ? found.titles : [found.title]).filter(Boolean).join(', ').toLowerCase();
  const title = words.charAt(0).toUpperCase() + words.slice(1);
  return h('li', { class: 'found' },
    h('h4', {}, h('span', { class: 'letter' }, letter), ' ', title),
    h('p', { class: 'build' }, found.build),
    h('dl', {}, ...FIGURES.filter(([name]) => found[name]).map(([name, label]) => h('div', { class: 'cell' }, h('dt', {}, label),
      h('dd', {}, h('span', { class: 'text' }, found[name].text), ' ', h('span', { class: 'range' }, found[name].range))))),
    found.chance && h('p', { class: 'chance' }, found.chance),
    h('p', { class: 'buttons' }, h('button', { type: 'button', 'aria-label': `Lay this stack: ${letter}, ${title}`, on: { click: () => layStack(found.rows) } }, 'Lay this stack')));
}

/**
 * Shows what working backwards came to.
 * @param {HTMLElement} host
 * @param {any} result As the core gives it, or `{ problems }`.
 * @param {{ layStack: (rows: any[]) => void, goToInput?: (path: string) => void, entryLabel?: (path: string) => string | null }} hooks
 */
export function showBack(host, result, { layStack, goToInput, entryLabel }) {
  const back = result.back ?? result;
  if (back.problems?.length) {
    host.replaceChildren(h('ul', {}, ...back.problems.map(({ field, sentence }) => h('li', {},
      goToInput && entryLabel?.(field) != null ? linkTo(field, sentence, goToInput) : sentence))));
    return;
  }
  const { found, front } = back;
  // The core's own sentence tells both as a rule.
  const covered = typeof back.candidates === 'number' && !/cover/.test(back.sentence)
    && `${counted(back.candidates, 'stack is', 'stacks are')} covered; ${counted(back.worked, 'was', 'were')} worked out one by one, the others cannot do better.`;
  host.replaceChildren(...[
    h('p', { class: 'told' }, back.sentence),
    covered && h('p', { class: 'read-as' }, covered),
    back.asked_for?.length > 0 && !back.sentence.includes('Asked for') && h('p', {}, h('strong', {}, 'Asked for: '), back.asked_for.join('; '), '.'),
    spreads(front) && h('figure', { class: 'front' }, frontPlot(front), h('figcaption', {}, sentenceOf(front)),
      h('details', {}, h('summary', {}, 'These stacks as a table'), h('div', { class: 'tables' }, frontTable(front)))),
    found.length > 0 && h('ul', { class: 'stacks' }, ...found.map((one, place) => stackBlock(one, place, layStack))),
  ].filter(Boolean));
}

/**
 * The button that asks, and the place of its answer.
 * @param {(plan: any) => Promise<any>} ask Gives the result, or null when a newer question has taken its place.
 * @param {{ plan: () => any, layStack: (rows: any[]) => void, goToInput: (path: string) => void, entryLabel: (path: string) => string | null }} hooks
 */
export function backPart(ask, hooks) {
  const state = h('p', { class: 'read-as', role: 'status' });
  const host = h('div', { class: 'back-result' });
  const button = h('button', { type: 'button', class: 'main' }, 'Find stacks');
  const el = h('div', {}, h('p', { class: 'buttons' }, button), state, host);
  let asked = null;
  const layStack = (rows) => hooks.layStack(rowsFor(hooks.plan(), rows));
  button.addEventListener('click', async () => {
    const plan = copyOf(hooks.plan());
    asked = questionOf(plan);
    write(state, 'Looking through the stacks. You can go on working.');
    try {
      const result = await ask(plan);
      if (result === null) return;
      write(state, '');
      showBack(host, result, { ...hooks, layStack });
    } catch {
      write(state, 'The search could not start on this device. Load the page again and try once more.');
    }
  });
  return {
    el,
    /** Tells when the answer belongs to another question than the plan now asks. */
    update() {
      if (asked !== null && host.firstChild && questionOf(hooks.plan()) !== asked) write(state, 'The plan has changed since. Find stacks again for what it asks now.');
      else if (state.textContent.startsWith('The plan has changed')) write(state, '');
    },
  };
}
