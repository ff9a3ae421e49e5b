// The drawing board of the fill: the part, its lines, the picture that follows them, and the same in words.
import { ask, askLines } from './board-ask.js';
import { film } from './board-film.js';
import { picture } from './board-picture.js';
import { ZONES, rows } from './board-rows.js';
import { touch } from './board-touch.js';
import { spread, table } from './damp.js';
import { h, write } from './dom.js';
import { copyOf } from './path.js';
import { shapeForm } from './shapes.js';
import { noteLine } from './stage.js';

const TOOLS = { move: 'Move', feed: 'Feed', vent: 'Vent', ...ZONES };
const HINTS = {
  move: 'Press a line and drag it. The answer follows.',
  feed: 'Tap an edge to feed along all of it, drag across for a line, or tap inside for one point.',
  vent: 'Tap an edge, drag across, or tap one point where air leaves.',
  corner: 'Tap the corners one after the other; tap the first again to close the outline.',
};
const zoneHint = 'Drag across the part: the zone becomes the rectangle between.';

/** The grid that corners keep to, for a drawing of this size [mm]. */
const gridOf = (size) => (size > 2500 ? 50 : size > 600 ? 10 : 5);

/** The best ways to feed, each with a button. */
const layoutList = ({ sentence, best }, use) => [h('p', { class: 'told' }, sentence), h('ul', { class: 'stacks' }, ...best.map((one, n) => h('li', { class: 'found' },
  h('h3', {}, h('span', { class: 'letter' }, String.fromCharCode(65 + n)), ' ', one.title),
  h('p', {}, spread(one.time_text, one.time_range), `, ${one.tube_text} of feed line`), h('p', {}, one.why),
  h('p', { class: 'buttons' }, h('button', { type: 'button', 'aria-label': `Use these lines: ${one.title}`, on: { click: () => use(one) } }, 'Use these lines')))))];

/** Everything in words and figures. */
export const wordsOf = (drawn) => [
  h('dl', {}, ...[drawn.time, drawn.gel, drawn.area, ...drawn.facts].map(({ label, text, range }) => h('div', { class: 'cell' }, h('dt', {}, label), h('dd', {}, spread(text, range))))),
  drawn.last && h('p', {}, `${drawn.last.sentence} It is at x ${Math.round(drawn.last.at[0])} mm, y ${Math.round(drawn.last.at[1])} mm.`),
  table(drawn.table.caption, drawn.table.head, drawn.table.rows, 'by-then'),
].filter(Boolean);

/** Fills in the drawing board. */
export function boardIn(places, hooks) {
  const { app } = hooks;
  if (!app) return { update() {} };
  const canvas = h('canvas', { class: 'board-view', tabindex: '0', role: 'img', 'aria-label': 'The part is not drawn yet.' });
  const view = picture(canvas);
  const answer = h('p', { class: 'board-answer', role: 'status' });
  const hint = h('p', { class: 'read-as' });
  const problems = h('ul', { class: 'notes' });
  const tools = h('div', { class: 'tools', role: 'group', 'aria-label': 'What a finger does' });
  const draftTools = h('p', { class: 'buttons', hidden: true });
  const words = h('div', { class: 'tables' });
  const notes = h('ul', { class: 'notes' });
  const ways = h('div', { 'aria-live': 'polite' });
  const turn = h('p', { class: 'buttons', hidden: true }, ...[[-0.5, 'Turn left'], [0.5, 'Turn right']].map(([by, name]) => h('button', { type: 'button', on: { click() { view.state.yaw += by; refit(); } } }, name)));
  const state = { tool: 'move', chosen: -1, now: /** @type {number | null} */ (null), draft: /** @type {any[] | null} */ (null), hole: false, sides: [], asked: '', live: /** @type {any} */ (null), wide: 0 };

  const lines = () => state.live ?? app.plan.fill?.lines ?? [];
  const zones = () => app.plan.fill?.zones ?? [];
  const outline = () => (app.plan.part?.shape?.form === 'outline' ? app.plan.part.shape.points_mm : null);
  const redraw = () => view.draw({ lines: lines(), zones: zones(), chosen: state.chosen, now: state.now, draft: state.draft });
  const roll = film({ most: () => view.state.most, draw(now) { state.now = now; redraw(); } });

  function put(path, value, sentence) {
    const before = copyOf(path.split('.').reduce((part, key) => part?.[key], app.plan) ?? null);
    app.set(path, value);
    if (sentence) app.say(sentence, { undo: () => app.set(path, before ?? undefined) });
    void follow();
  }
  const setLines = (list) => { state.live = null; put('fill.lines', list.length ? list : undefined); };
  const setZones = (list) => put('fill.zones', list.length ? list : undefined);

  /** A line with its first point on the part; the plan is changed when the finger lets go. */
  let latest = 0;
  async function dragged(list) {
    state.live = list;
    latest += 1;
    const mine = latest;
    const found = await askLines(list).catch(() => null);
    if (found && !found.problems.length && (mine === latest || state.live)) {
      view.state.drawn = null;
      show(found);
    }
  }

  function show(found) {
    view.take(found, state.wide || 320);
    state.sides = found.sides;
    turn.hidden = view.state.flat;
    const { quick } = found;
    const [before, after] = quick.answer.split(quick.time_text);
    answer.replaceChildren(...(after === undefined ? [quick.answer] : [before, h('strong', { class: 'big' }, quick.time_text), after]));
    canvas.setAttribute('aria-label', `Picture of the fill. ${quick.answer}`);
    canvas.dataset.min = String(quick.likely_min);
    canvas.dataset.reach = quick.reach;
    if (roll.atEnd()) state.now = null;
    roll.show();
  }

  function refit() {
    if (view.state.found) { view.take(view.state.found, state.wide || 320); redraw(); }
  }

  /** Works the picture out anew when what it stands on has changed. */
  async function follow() {
    form.update();
    list.update();
    const { id, stamps, saved, name, note, day, ...rest } = app.plan;
    const now = JSON.stringify([rest, app.own]);
    const has = Boolean(app.plan.part?.shape);
    figure.hidden = !has && !state.draft;
    for (const part of [tools, roll.el, wordFold, suggest]) part.hidden = !has || Boolean(state.draft);
    if (!has || state.draft || !fold.open || now === state.asked) return;
    state.asked = now;
    try {
      const found = await ask('put', app.plan, app.own);
      if (now !== state.asked) return;
      problems.replaceChildren(...found.problems.map(({ sentence }) => noteLine({ weight: 'problem', sentence })));
      if (found.problems.length) return;
      state.live = null;
      show(found);
      const drawn = await ask('drawn');
      if (now !== state.asked || !drawn) return;
      view.state.drawn = drawn;
      words.replaceChildren(...wordsOf(drawn));
      // Cautions stand at the head of the stage already.
      notes.replaceChildren(...drawn.notes.filter(({ weight }) => weight !== 'caution').map(noteLine));
      redraw();
      settle(drawn);
    } catch {
      write(answer, 'The part of Bastwork that draws the fill is not on this device yet. Try again with a network.');
      state.asked = '';
    }
  }

  /** The plan learns the area, and the run that a strip would have. */
  function settle(drawn) {
    const area = Number(drawn.area_m2.toPrecision(4));
    const run = Math.round(drawn.run_mm);
    const part = app.plan.part ?? {};
    if (part.area_m2 === area && part.flow_length_mm === run) return;
    const told = part.area_m2 !== area;
    const before = copyOf(part);
    app.plan.part = { ...part, area_m2: area, flow_length_mm: run };
    state.asked = JSON.stringify((({ id, stamps, saved, name, note, day, ...rest }) => [rest, app.own])(app.plan));
    app.set('part.area_m2', area);
    if (told && before.area_m2 !== undefined) app.say(`The drawing gives the part ${drawn.area.text}; the ticket now goes by that.`);
  }

  function setTool(tool) {
    state.tool = tool;
    for (const button of tools.children) button.setAttribute('aria-pressed', String(button.dataset.tool === tool));
    write(hint, HINTS[tool] ?? zoneHint);
    canvas.classList.toggle('takes', tool !== 'move');
  }

  // Drawing by hand.
  let size = 1200;
  function begin(hole) {
    state.draft = [];
    state.hole = hole;
    if (!hole) {
      const wide = canvas.parentElement?.clientWidth || 320;
      state.wide = wide;
      view.fit([[0, 0], [size, 0], [size, size * 0.8], [0, size * 0.8]], true, wide);
    }
    draftTools.hidden = false;
    setTool('corner');
    void follow();
    redraw();
  }
  function finish() {
    const draft = state.draft ?? [];
    const { hole } = state;
    state.draft = null;
    draftTools.hidden = true;
    setTool('move');
    if (draft.length < 3) { app.say('An outline needs at least three corners.'); void follow(); redraw(); return; }
    if (hole) {
      const shape = app.plan.part?.shape ?? {};
      put('part.shape', { ...shape, holes_mm: [...(shape.holes_mm ?? []), draft] }, 'The hole is cut out.');
    } else put('part.shape', { form: 'outline', points_mm: draft }, 'The outline is closed.');
  }
  const sizeBox = h('input', { type: 'text', inputmode: 'decimal', value: '1200', 'aria-label': 'Width of the paper in millimetres' });
  sizeBox.addEventListener('change', () => { const typed = Number(sizeBox.value.replace(',', '.')); if (typed >= 50 && typed <= 20000) { size = typed; begin(false); } });
  draftTools.append(
    h('button', { type: 'button', on: { click() { state.draft?.pop(); redraw(); } } }, 'Undo corner'),
    h('button', { type: 'button', class: 'main', on: { click: finish } }, 'Close the outline'),
    h('button', { type: 'button', class: 'quiet', on: { click() { state.draft = null; draftTools.hidden = true; setTool('move'); state.asked = ''; void follow(); } } }, 'Leave it'),
    h('label', { class: 'tick' }, 'Paper ', sizeBox, ' mm wide'));

  const form = shapeForm({
    plan: () => app.plan,
    put(shape, sentence) {
      // Lines and zones of another shape would lie beside it.
      if (!shape) put('part.shape', undefined, sentence);
      else put('part.shape', shape, sentence);
    },
    drawByHand: () => begin(false),
    file: (name, bytes, unit) => ask('file', name, bytes, unit),
  });
  const list = rows({
    lines, zones, setLines, setZones, corners: outline,
    setCorners: (corners) => put('part.shape', { ...app.plan.part.shape, points_mm: corners }),
    choose(n) { state.chosen = n; redraw(); },
  });
  touch(canvas, view, {
    tool: () => state.tool, lines, sides: () => state.sides, chosen: () => state.chosen,
    choose(n) { state.chosen = n; redraw(); },
    dragged: (moved) => void dragged(moved),
    dropped: setLines, redraw,
    stretched([a, b], tool) {
      redraw();
      const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
      const [[ax, ay], [bx, by]] = [a, b].map(view.seen);
      context.lineWidth = 4;
      context.strokeStyle = getComputedStyle(document.documentElement).getPropertyValue('--flax');
      context.beginPath();
      if (tool === 'feed' || tool === 'vent') { context.moveTo(ax, ay); context.lineTo(bx, by); } else context.rect(ax, ay, bx - ax, by - ay);
      context.stroke();
    },
    lineDrawn(does, points) {
      setLines([...lines(), { does, points_mm: points }]);
      state.chosen = lines().length - 1;
      setTool('move');
    },
    zoneDrawn(lies, points) {
      setZones([...zones(), { lies, points_mm: points, ...(lies === 'plies' ? { count: 1, angle_deg: 0 } : {}) }]);
      setTool('move');
    },
    cornerAt(point, place) {
      const draft = state.draft ?? [];
      const grid = gridOf(size);
      const corner = point.slice(0, 2).map((value) => Math.round(value / grid) * grid);
      const first = draft[0] && view.seen(draft[0]);
      if (first && draft.length > 2 && Math.hypot(first[0] - place[0], first[1] - place[1]) < 22) { finish(); return; }
      state.draft = [...draft, corner];
      redraw();
    },
  });
  for (const [tool, name] of Object.entries(TOOLS)) tools.append(h('button', { type: 'button', 'data-tool': tool, 'aria-pressed': 'false', on: { click: () => setTool(tool) } }, name));
  tools.append(h('button', { type: 'button', on: { click: () => begin(true) } }, 'Hole'));
  setTool('move');

  const use = ({ lines: found, flow_mesh: mesh, title }) => {
    const before = [copyOf(app.plan.fill?.lines ?? null), app.plan.bag?.flow_mesh];
    app.set('bag.flow_mesh', mesh);
    app.set('fill.lines', found);
    app.say(`${title}: these lines are on the part.`, { undo() { app.set('bag.flow_mesh', before[1]); app.set('fill.lines', before[0] ?? undefined); void follow(); } });
    void follow();
  };
  const suggest = h('div', {}, h('p', { class: 'buttons' }, h('button', {
    type: 'button', class: 'main',
    on: {
      async click() {
        const found = await ask('layouts').catch(() => null);
        ways.replaceChildren(...(found ? layoutList(found, use) : [h('p', {}, 'Draw the part first.')]));
      },
    },
  }, 'Suggest lines')), ways);
  const figure = h('figure', { class: 'board' }, canvas, turn);
  const wordFold = h('details', { class: 'words' }, h('summary', {}, 'In words and figures'), words);
  const fold = h('details', { class: 'board-fold' }, h('summary', {}, 'Draw the part and its lines'),
    form.el, problems, answer, tools, hint, draftTools, figure, roll.el, notes, suggest, list.el, wordFold);
  fold.addEventListener('toggle', () => void follow());
  places.section.append(fold);
  new ResizeObserver(([{ contentRect }]) => {
    const wide = Math.round(Math.min(contentRect.width, 620));
    if (wide > 0 && wide !== state.wide) { state.wide = wide; refit(); }
  }).observe(figure);
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', redraw);
  if (app.plan.part?.shape) fold.open = true;
  return { update: () => void follow() };
}
