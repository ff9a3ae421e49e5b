// The ticket on paper: name, date, strip, stages with figures, boxes to tick, room for readings, the link.
import { chartOf } from './chart.js';
import { passesIn, spread, table } from './damp.js';
import { needOf, whenOf } from './day.js';
import { h } from './dom.js';
import { shown } from './entry.js';
import { withUnit } from './figure.js';
import { stages } from './job.js';
import { quietly } from './parts.js';
import { figuresOf, forHands, notesOf } from './stage.js';
import { sectionFigure } from './section.js';
import { linkFor } from './share.js';
import { nameOf } from './storewords.js';
import { tablesOf } from './tables.js';

/** Milliseconds of quiet before the paper is laid out again. */
const REST = 400;

/** Width and height at which a chart is drawn for paper [px]; print.css sets it in millimetres. */
const PAPER_CHART = [400, 118];

/** What is written down by hand while the job runs. */
const READINGS = {
  stack: ['Thickness, with a caliper'],
  dry: ['Cloth from store, mass', 'Into the oven at', 'Mass when dry', 'Out at'],
  mix: ['Resin weighed', 'Hardener weighed', 'Mixed at'],
  fill: ['Gauge before the fill', 'Gauge after ten minutes closed', 'Feed opened at', 'Full at'],
  cure: ['Hard to the fingernail at', 'Off the mould at'],
  trim: ['Part trimmed, mass'],
};

/** Logs: the list in the plan, its value and what stands before the lines. Lines of so many readings, so many of them at most. */
const LOGS = { bag: ['test', 'reading', 'Gauge', 'log.reading'], dry: ['weighings', 'g', 'Scale', 'log.g'] };
const IN_A_LINE = 12;
const MOST_LINES = 2;
/** More pots than this stand in three tables side by side. */
const MOST_POTS = 12;

const box = () => h('span', { class: 'tick', 'aria-hidden': 'true' });

/**
 * @param {any} app
 * @param {HTMLElement} place
 */
export function paper(app, place) {
  document.head.append(h('link', { rel: 'stylesheet', href: 'print.css', media: 'print' }));
  let timer;
  let latest = { sheet: /** @type {any} */ (null), stale: false };
  let address = '';
  /** Makes the frames of the fill, where the part is drawn. @type {() => Node[]} */
  let frames = () => [];
  const lay = () => { clearTimeout(timer); place.replaceChildren(...page(app, latest, address, frames)); };
  async function settle() {
    try { address = await linkFor(app.plan, app.own); } catch { address = ''; }
    lay();
    if (!app.plan.part?.shape && !app.plan.fill?.front?.length) { frames = () => []; return; }
    const part = await quietly('board-paper');
    if (!part) return;
    frames = await part.framesOf(app);
    lay();
  }
  window.addEventListener('beforeprint', lay);
  return {
    update(sheet, stale) {
      latest = { sheet, stale };
      clearTimeout(timer);
      timer = setTimeout(settle, REST);
    },
  };
}

function page(app, { sheet, stale }, address, frames) {
  if (!sheet) return [h('p', {}, 'There is nothing to print yet: the entries on the page say what is still needed.')];
  const today = new Intl.DateTimeFormat(undefined, { dateStyle: 'long' }).format(new Date());
  const given = sheet.inputs.filter(({ origin }) => origin === 'plan' || origin === 'measured');
  // Of what was assumed, the paper names what counts most for its figures; the rest stands on the page.
  const driving = drivers(sheet);
  const usual = sheet.inputs.filter(({ key, origin }) => origin === 'usual' && app.hasEntry(key) && driving.has(key));
  const list = (inputs) => inputs.map(({ label, shown }) => `${label} ${withUnit(shown)}`).join('; ');
  return [
    h('header', {}, h('h1', {}, nameOf(app.plan)), h('p', {}, `Bastwork, ${today}`)),
    stale && h('p', { class: 'note' }, 'Some entries could not be used: the figures are from before.'),
    h('table', { class: 'paper-strip' },
      h('thead', {}, h('tr', {}, ...sheet.strip.map(({ label }) => h('th', { scope: 'col' }, label)))),
      h('tbody', {}, h('tr', {}, ...sheet.strip.map(({ text, range }) => h('td', {}, h('strong', {}, text), range && h('small', {}, range)))))),
    h('p', { class: 'given' }, given.length > 0 && h('span', {}, h('b', {}, 'Given: '), list(given), '. '),
      usual.length > 0 && h('span', {}, h('b', {}, 'Assumed, and it counts most: '), list(usual), '.')),
    ...stages().filter((name) => sheet[name] && name !== 'day').map((name) => stage(name, sheet, app, frames)),
    ...notesOf(sheet, 'day').filter(() => !sheet.day?.start).map(({ sentence }) => h('p', { class: 'advice' }, sentence)),
    app.plan.note && h('p', {}, h('b', {}, 'Notes: '), String(app.plan.note)),
    h('footer', {},
      h('p', {}, h('b', {}, 'Line under a figure: '), 'solid, firm physics or own measurement; dashed, published data; dotted, a rule of thumb. The range holds eight times in ten. Sources stand on the page, one tap on a figure away. ', h('b', {}, sheet.comes_first)),
      address && h('p', { class: 'address' }, h('b', {}, 'This plan again: '), address)),
    // Without a start its steps have no time of day; with one it is a sheet of its own, to hang by the mould.
    sheet.day?.start && h('section', { class: 'paper-day' }, h('h2', {}, `${nameOf(app.plan)}: ${sheet.day.head.question}`), ...stage('day', sheet, app).childNodes),
  ].filter(Boolean);
}

/** Inputs that drive the ranges of the figures on the paper: the two foremost of each. */
function drivers(sheet) {
  const found = stages().filter((name) => sheet[name] && name !== 'day').flatMap((name) => figuresOf(sheet[name])
    .filter((key) => key === sheet[name].head.main || forHands(sheet[name], key)).map((key) => sheet[name][key].drivers.slice(0, 2)));
  return new Set(found.flat().map(({ input }) => sheet.inputs[input].key));
}

/** Minutes and readings side by side: those that are in the plan, the newest last, else lines to write on. */
function logLines(name, app) {
  const [list, field, word, key] = LOGS[name];
  const found = app.plan[name]?.[list];
  const noted = (Array.isArray(found) ? found : []).toSorted((one, other) => one.min - other.min).slice(-IN_A_LINE * MOST_LINES);
  const lines = Math.max(1, Math.ceil(noted.length / IN_A_LINE));
  const text = (one, which, as) => (one ? shown(app, as, one[which]) : '');
  return Array.from({ length: lines }, (_, line) => h('table', { class: 'paper-log' }, h('tbody', {},
    ...[['Minute', 'min', 'log.min'], [word, field, key]].map(([head, which, as]) => h('tr', {}, h('th', { scope: 'row' }, head),
      ...Array.from({ length: IN_A_LINE }, (__, at) => h('td', {}, text(noted[line * IN_A_LINE + at], which, as))))))));
}

function stage(name, sheet, app, frames = () => /** @type {Node[]} */ ([])) {
  const found = sheet[name];
  const { head } = found;
  const notes = notesOf(sheet, name);
  // The verdict has its one figure in its sentence.
  const figures = name === 'suit' ? [] : [head.main, ...figuresOf(found).filter((key) => key !== head.main && forHands(found, key))];
  const advice = h('p', { class: 'advice' }, notes.filter(({ weight }) => weight === 'advice').map(({ sentence }) => sentence).join(' '));
  return h('section', { class: `paper-${name}` },
    h('h2', {}, head.question),
    ...notes.filter(({ weight }) => weight !== 'advice').map(({ weight, sentence }) => h('p', { class: 'do caution' }, box(), h('b', {}, weight === 'caution' ? 'Caution: ' : 'Remedy: '), sentence)),
    h('p', { class: 'do' }, box(), head.answer),
    h('dl', {}, ...figures.filter((key) => figuresOf(found).includes(key)).map((key) => {
      const { label, shown, basis } = found[key];
      return h('div', {}, h('dt', {}, label), h('dd', {}, h('span', { 'data-basis': basis }, withUnit(shown)), shown.range && h('small', {}, ` ${shown.range}`)));
    })),
    h('div', { class: 'paper-tables' }, ...(name === 'fill' ? frames() : []), ...deeper(name, found, sheet, advice), ...onPaper(name, found, sheet)),
    ...(LOGS[name] ? logLines(name, app) : []),
    ...(['dry', 'mix', 'cure', 'stack'].includes(name) ? [] : [advice]),
    // Pots that are ticked off one by one have their times beside them.
    h('p', { class: 'readings' }, ...((name === 'mix' && sheet.pots ? [] : READINGS[name]) ?? []).map((what) => h('span', {}, `${what} `))));
}

/** What stands under a stage beside its figures: the stack in section, the answer to the load, the drop test, the course of drying. */
function deeper(name, found, sheet, advice) {
  if (name === 'bag') return bagTold(found, sheet);
  if (name === 'dry') return dryTold(found, advice);
  if (name === 'mix') return sheet.pots ? potsTold(sheet.pots, advice) : [advice];
  if (name === 'cure') return sheet.setting ? [setInShort(sheet.setting), advice] : [advice];
  if (name === 'day') return dayTold(found, sheet);
  // The comparison of materials was read at the table; the paper goes to the mould.
  if (name !== 'stack') return [];
  const { load } = found;
  return [
    load && h('p', { class: 'first' }, load.sentence, ` Gives way first: ${load.weakest}`),
    sectionFigure(found.plies ?? []),
    advice,
  ].filter(Boolean);
}

/** The tables of a stage that go to the mould: its drawing, its answer or its pots tell the others. */
function onPaper(name, found, sheet) {
  if (name === 'fill') return found.stalled?.length ? [h('p', { class: 'in-a-line' }, h('b', {}, 'If the front stops: '), found.stalled.join(' '))] : [];
  return name === 'mix' && !sheet.pots ? tablesOf(name, found, sheet) : [];
}

/** A chart with its name alone: what it says stands beside it. */
const drawing = (chart) => h('figure', { class: 'chart-figure' }, h('figcaption', {}, chart.label), chartOf(chart, ...PAPER_CHART));

/** The drop test as it stands, what to do next with a box to tick each. */
function bagTold({ test }, sheet) {
  return [
    test && h('div', {},
      h('p', {}, [test.sentence, ...(test.means.length ? test.means : [passesIn(test, sheet)])].join(' ')),
      ...test.next.map((sentence) => h('p', { class: 'do' }, box(), sentence))),
    test && drawing(test.chart),
  ].filter(Boolean);
}

/** The course of drying; beside it what the weighings tell, and advice. */
function dryTold({ curve, weighed }, advice) {
  return [
    curve && drawing(curve),
    h('div', {},
      // Once the scale has spoken it says more than what was to be expected.
      weighed ? h('p', {}, weighed.sentence) : advice),
  ].filter(Boolean);
}

/** A table whose rows are ticked off, with a last column to write in. */
const ticked = (caption, heads, rows, className) => table(caption, [...heads, 'Really at'], rows.map(([first, ...others]) => [h('span', {}, box(), first), ...others, '']), className);

/** The pots to tick, with room for the time each was mixed at; beside them what becomes of one, and advice. */
function potsTold({ batches, pot, weighed }, advice) {
  const use = withUnit(pot.use_by_min.shown);
  // Many pots stand side by side; what is the same for all of them stands above.
  const each = batches.length > MOST_POTS ? Math.ceil(batches.length / 3) : batches.length;
  const few = each === batches.length;
  const groups = Array.from({ length: Math.ceil(batches.length / each) }, (_, n) => batches.slice(n * each, (n + 1) * each));
  return [
    ...groups.map((group) => ticked(few ? 'Pots' : `Pots ${group[0].number} to ${group.at(-1).number}`,
      few ? ['Pot', 'Resin', 'Hardener', 'Together', 'Use within'] : ['Pot', 'Resin', 'Hardener'],
      group.map((batch) => [`${batch.number}`, batch.resin, batch.hardener, ...(few ? [batch.total, use] : [])]), few ? 'paper-pots' : 'paper-pots paper-many')),
    h('div', { class: 'pots-told' }, h('p', { class: 'in-a-line' }, [pot.sentence, weighed?.sentence].filter(Boolean).join(' ')), advice),
  ];
}

/** The pots in turn with their times: for the sheet of the day. */
function turnTold({ batches, turn, pot }) {
  const at = ({ text, range }) => spread(text, range);
  const { shown } = pot.use_by_min;
  return [
    ticked(`Pots in turn: ${pot.name}, used up within ${withUnit(shown)}${shown.range && ` (${shown.range})`}`, ['Pot', 'Resin', 'Hardener', 'Begin to mix', 'Pour it', 'Empty by'],
      batches.map((batch) => [`${batch.number}`, batch.resin, batch.hardener, at(batch.mix_at), at(batch.pour_at), at(batch.empty_by)]), 'paper-ticked'),
    h('p', { class: 'in-a-line' }, [...turn, ...batches.map(({ note }) => note)].filter(Boolean).join(' ')),
  ];
}

/** What decides when it comes off, and what the post-cure does, in a line or two; the rest stands on the sheet of the day. */
const setInShort = ({ decides, post }) => h('p', { class: 'in-a-line first' }, [decides, post?.sentence].filter(Boolean).join(' '));

/** Hardness against time; beside it what to do after the fill, and how to tell that it has set. */
const setTold = ({ hardness, after_fill: after, programme, proof }) => h('div', { class: 'paper-setting' },
  drawing(hardness),
  h('div', {},
    ...(after?.order ?? []).map((sentence) => h('p', { class: 'do' }, box(), sentence)),
    h('p', {}, [...programme, ...proof].filter(Boolean).join(' '))));

/** The steps to tick, with room for the real time; what stands in the way before them, pots and setting after them. */
function dayTold({ steps, conflicts }, { pots, setting }) {
  const said = new Set();
  const once = (words) => (said.has(words) ? '' : (said.add(words), words));
  return [
    ...conflicts.map(({ sentence, ways }) => h('p', { class: 'in-a-line first' }, h('b', {}, 'In the way: '), [sentence, ...ways].join(' '))),
    ticked('Step by step', ['When', 'What', 'Takes', 'Needs', 'Done when'], steps.map((step) => {
      const { day, time } = whenOf(step);
      return [h('span', {}, h('b', {}, time), h('small', {}, ` ${once(day)}`)), step.name, spread(step.takes.text, step.takes.range), needOf(step)[1], h('span', {}, step.ends_when, h('b', {}, ` ${once(step.care)}`))];
    }), 'paper-ticked paper-steps'),
    ...(pots ? turnTold(pots) : []),
    setting && setTold(setting),
  ].filter(Boolean);
}
