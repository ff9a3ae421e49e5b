// The drawing board of the fill: the part, its lines, the picture that follows them, and the same in words.
import { ask, askNewest, keyOf, remember } from './board-ask.js';
import { astray } from './board-astray.js';
import { draftOf } from './board-draft.js';
import { film } from './board-film.js';
import { frontLog } from './board-front.js';
import { lengthsOf, thousandth } from './board-length.js';
import { marksOf, placesOf } from './board-marks.js';
import { picture } from './board-picture.js';
import { boundsOf, placeButtons } from './board-place.js';
import { ZONES, channelsOf, cornersOf, linesOf, namesOf, rows, zonesOf } from './board-rows.js';
import { touch } from './board-touch.js';
import { layoutList, minuteText, reachWords, wordsOf } from './board-words.js';
import { h, still, write } from './dom.js';
import { copyOf, get } from './path.js';
import { shapeForm } from './shapes.js';
import { noteLine } from './stage.js';

const TOOLS = { move: 'Move', feed: 'Feed', vent: 'Vent', channel: 'Channel', mesh: 'Mesh', plies: 'Plies', stack: 'Other cloth', insert: 'Insert', break: 'No mesh' };
const HINTS = {
  move: 'Press a line and drag it: the answer follows.',
  front: 'Tap where the front is now.',
  feed: 'Tap an edge to feed along all of it, drag across for a line, or tap inside for one point.',
  vent: 'Tap an edge, drag across, or tap one point where air leaves.',
  channel: 'Tap an edge or drag across, where a gap or a bridged corner lets resin run ahead.',
  shape: 'Press a corner of the outline and drag it.',
  corner: '',
};
const zoneHint = 'Drag across the part: the zone becomes the rectangle between.';

/** Milliseconds of quiet before the picture follows what is typed elsewhere. */
const REST = 150;
/** Outlines with more corners than this are moved by numbers only. */
const MOST_CORNERS = 60;
/** Steps that can be taken back. */
const MOST_BACK = 40;
/** What was drawn before, by plan: it outlives a form that is built anew. @type {Map<string, string[]>} */
const earlier = new Map();

/** Fills in the drawing board. */
export function boardIn(places, hooks) {
  const { app } = hooks;
  if (!app) return { update() {} };
  const canvas = h('canvas', { class: 'board-view', tabindex: '0', role: 'img', 'aria-label': 'The part is not drawn yet.' });
  const lengths = lengthsOf(app);
  const PAPER = lengths.paper;
  const view = picture(canvas, { lengths });
  const [big, range, reach, sentence] = [h('strong', { class: 'big' }), h('span', { class: 'range' }), h('span', {}), h('p', { class: 'told' })];
  const answer = h('div', { class: 'board-answer', hidden: true }, h('p', {}, big, ' ', range, ' ', reach), sentence);
  const heard = h('p', { class: 'unseen', role: 'status' });
  const hint = h('p', { class: 'read-as' });
  const problems = h('ul', { class: 'notes' });
  const tools = h('div', { class: 'tools', role: 'group', 'aria-label': 'What a finger does' });
  const exact = h('div', { class: 'tools', role: 'group', 'aria-label': 'Without drawing', hidden: true });
  const words = h('div', { class: 'tables' });
  const notes = h('ul', { class: 'notes' });
  const ways = h('div', {});
  const turn = h('p', { class: 'buttons', hidden: true }, ...[[-0.5, 'Turn left'], [0.5, 'Turn right']].map(([by, name]) => h('button', { type: 'button', on: { click() { view.state.yaw += by; refit(); } } }, name)));
  const state = { tool: 'move', chosen: -1, now: /** @type {number | null} */ (null), asked: '', live: /** @type {any[] | null} */ (null), corners: /** @type {any[] | null} */ (null), wide: 0, timer: 0, mine: false };

  /** What the suggestions on show stand on. */
  let triedOn = '';

  const lines = () => state.live ?? linesOf(app.plan);
  const zones = () => zonesOf(app.plan);
  const say = (min) => minuteText(app.core, app.units, min);
  const onCorners = () => (state.tool === 'shape' ? state.corners ?? cornersOf(app.plan) ?? [] : []);

  function redraw() {
    const { now: points } = draft;
    const holes = points?.isHole ? [cornersOf(app.plan) ?? [], ...(app.plan.part?.shape?.holes_mm ?? [])] : [];
    view.draw({ lines: lines(), zones: zones(), chosen: state.chosen, now: state.now, corners: onCorners(), marks: placesOf(app.plan, say), draft: points && { points: points.points, holes, step: points.grid } });
  }

  /** What can be taken back: shape, lines, zones and whether there is a mesh. */
  const drawnNow = () => JSON.stringify([app.plan.part?.shape, app.plan.fill?.lines, app.plan.fill?.zones, app.plan.bag?.flow_mesh].map((one) => one ?? null));
  const back = h('button', { type: 'button', on: { click: takeBack } }, 'Undo');
  function step() {
    const list = earlier.get(app.plan.id) ?? [];
    earlier.set(app.plan.id, [...list, drawnNow()].slice(-MOST_BACK));
  }
  function takeBack() {
    const list = earlier.get(app.plan.id) ?? [];
    // Steps that were taken back elsewhere change nothing.
    while (list.at(-1) === drawnNow()) list.pop();
    const before = list.pop();
    if (!before) { follow(); return; }
    ['part.shape', 'fill.lines', 'fill.zones', 'bag.flow_mesh'].forEach((path, n) => {
      const value = JSON.parse(before)[n];
      if (JSON.stringify(get(app.plan, path) ?? null) !== JSON.stringify(value)) app.set(path, value ?? undefined);
    });
    state.chosen = -1;
    state.mine = true;
    write(heard, 'The last step is taken back.');
    follow();
  }

  /** Changes what is drawn, with a way back. */
  function put(path, value, said, again) {
    step();
    const { id } = app.plan;
    const before = copyOf(get(app.plan, path) ?? null);
    app.set(path, value);
    // What was done since stays, and can be had again.
    if (said) app.say(said, { undo() { if (app.plan.id !== id) app.open(id); step(); app.set(path, (again ? again(get(app.plan, path) ?? []) : before) ?? undefined); } });
    state.mine = true;
    follow();
  }
  const setLines = (list, said, again) => { state.live = null; put('fill.lines', list.length ? list : undefined, said, again); };
  const setZones = (list, said, again) => put('fill.zones', list.length ? list : undefined, said, again);

  /** Lines under a finger: the plan is changed when it lets go. */
  async function dragged(list) {
    state.live = list;
    // The board is no longer that of the plan, whatever becomes of these lines.
    state.asked = '';
    const found = await askNewest('lines', list).catch(() => null);
    // The plan has them by now, or others.
    if (!found || found.problems.length || state.live === null) return;
    view.tell(null);
    take(found);
    telling(found.quick.answer, found.quick.time_text, found.quick.time_range, found.quick.reach);
  }

  function telling(said, time, between, word) {
    answer.hidden = false;
    write(big, time);
    write(range, between);
    write(reach, reachWords(word));
    write(sentence, said);
    canvas.setAttribute('aria-label', `Picture of the fill. ${said}`);
    canvas.dataset.reach = word;
  }

  function take(found) {
    view.take(found, state.wide || 320);
    turn.hidden = view.state.flat;
    canvas.dataset.min = String(found.quick.likely_min);
    roll.show();
  }

  function refit() {
    if (draft.now && !draft.now.isHole) paper();
    else if (view.state.found) view.take(view.state.found, state.wide || 320);
    redraw();
  }

  /** Shows what belongs to the plan as it is, and works the picture out anew when what it stands on has changed. */
  function follow(rest = 0) {
    form.update();
    list.update();
    front.update();
    back.disabled = !earlier.get(app.plan.id)?.length;
    const has = Boolean(app.plan.part?.shape);
    figure.hidden = !has && !draft.now;
    const drawing = Boolean(draft.now);
    for (const part of [roll.el, wordFold, suggest, list.el, notes]) part.hidden = !has || drawing;
    front.el.hidden = drawing;
    frontTool.hidden = !front.el.open;
    // Marks on the picture are there before it is worked out anew.
    if (has && !drawing && view.state.found) redraw();
    tools.hidden = !has || drawing;
    shapeTool.hidden = !(cornersOf(app.plan)?.length <= MOST_CORNERS);
    holeTool.hidden = cornersOf(app.plan) === null;
    if (!has) answer.hidden = true;
    exact.hidden = tools.hidden || !exact.firstChild;
    // A line under a finger goes before the plan.
    if (!has || drawing || !fold.open || state.live || keyOf(app.plan, app.own) === state.asked) return;
    clearTimeout(state.timer);
    state.timer = setTimeout(() => void settle(), rest);
  }

  async function settle() {
    const key = keyOf(app.plan, app.own);
    if (key === state.asked || state.live) return;
    state.asked = key;
    // Suggestions for another part or cloth are none.
    if (withoutLines() !== triedOn) ways.replaceChildren();
    const mine = state.mine;
    try {
      const found = await askNewest('put', app.plan, app.own);
      if (!found || key !== state.asked) return;
      problems.replaceChildren(...form.tellSizes(found.problems).map(({ sentence: said }) => noteLine({ weight: 'problem', sentence: said })));
      figure.classList.toggle('before', found.problems.length > 0);
      answer.classList.toggle('before', found.problems.length > 0);
      if (found.problems.length) {
        write(reach, 'From before');
        canvas.setAttribute('aria-label', `Picture from before. ${found.problems[0].sentence}`);
        return;
      }
      view.tell(null);
      take(found);
      telling(found.quick.answer, found.quick.time_text, found.quick.time_range, found.quick.reach);
      const drawn = await ask('drawn');
      if (key !== state.asked || !drawn || state.live) return;
      view.tell(drawn);
      remember(key, found, drawn);
      telling(drawn.answer, drawn.time.text, drawn.time.range, drawn.reach);
      write(heard, `${drawn.time.text}, ${drawn.time.range}. ${drawn.answer}`);
      words.replaceChildren(...wordsOf(drawn, lengths));
      // Cautions stand at the head of the stage already.
      const off = astray(found, linesOf(app.plan)).map((name) => ({ weight: 'problem', sentence: `${name} lies beside the part or on an insert. Move it onto the part, or take it away.` }));
      if (off.length) write(heard, `${heard.textContent} ${off.map(({ sentence: said }) => said).join(' ')}`);
      notes.replaceChildren(...[...off, ...drawn.notes.filter(({ weight }) => weight !== 'caution')].map(noteLine));
      roll.show();
      offer();
      if (mine) learn(drawn);
    } catch {
      state.asked = '';
      problems.replaceChildren(noteLine({ weight: 'problem', sentence: 'The part of Bastwork that draws the fill is not on this device yet. Try again with a network.' }));
    }
  }

  /** The plan learns the area, and the run that a strip would have, for those who work without the drawing. */
  function learn(drawn) {
    state.mine = false;
    const area = Number(drawn.area_m2.toPrecision(4));
    const run = Math.round(drawn.run_mm);
    const { id, part = {} } = app.plan;
    const before = { area_m2: part.area_m2, flow_length_mm: part.flow_length_mm };
    if (before.area_m2 === area && before.flow_length_mm === run) return;
    const go = (to) => {
      if (app.plan.id !== id) app.open(id);
      // Neither is in the picture: it is not asked for again, unless something else has changed.
      const same = keyOf(app.plan, app.own) === state.asked;
      app.plan.part = { ...app.plan.part, flow_length_mm: to.flow_length_mm };
      app.set('part.area_m2', to.area_m2);
      if (same) state.asked = keyOf(app.plan, app.own);
    };
    go({ area_m2: area, flow_length_mm: run });
    if (before.area_m2 !== area) app.say('The area of the part is now that of the drawing.', { undo: () => go(before) });
  }

  function setTool(tool) {
    state.tool = tool;
    for (const button of tools.querySelectorAll('[data-tool]')) button.setAttribute('aria-pressed', String(button.dataset.tool === tool));
    const [far, near] = lengths.steps.map(lengths.say);
    write(hint, tool === 'move' ? `${HINTS.move} Arrow keys move the chosen line by ${far}, with Shift by ${near}.` : HINTS[tool] ?? `${ZONES[tool]}. ${zoneHint}`);
    front.waits(tool === 'front');
    canvas.classList.toggle('takes', !['move', 'shape'].includes(tool));
    offer();
    if (view.state.found) redraw();
  }

  /** What the tool does by a button, for keyboards and gloves. */
  function offer() {
    const { found, flat } = view.state;
    const has = found && !['move', 'shape', 'corner', 'front'].includes(state.tool) && (flat || ['feed', 'vent', 'channel'].includes(state.tool));
    exact.replaceChildren(...(has ? placeButtons(state.tool, { sides: found.sides, points: found.points, flat }, { lineDrawn, zoneDrawn }) : []));
    exact.hidden = !exact.firstChild || tools.hidden;
  }

  function lineDrawn(does, points) {
    state.chosen = lines().length;
    setLines([...lines(), { does, points_mm: points, ...(does === 'channel' ? { section: 'gap', width_mm: 3 } : {}) }]);
    write(heard, `${namesOf(lines())[state.chosen]} is on the part.`);
    setTool('move');
    canvas.focus({ preventScroll: true });
  }
  function zoneDrawn(lies, points) {
    setZones([...zones(), { lies, points_mm: points, ...(lies === 'plies' ? { count: 1, angle_deg: 0 } : {}), ...(lies === 'stack' ? { stack: copyOf(app.plan.stack ?? []) } : {}) }]);
    write(heard, `${ZONES[lies]}: it is on the part.`);
    setTool('move');
    if (lies === 'stack') write(hint, 'The zone has the cloths of the part so far. Change them under Zones below.');
    canvas.focus({ preventScroll: true });
  }

  // Drawing by hand.
  const paper = () => view.fit([[0, 0], [draft.now?.size ?? PAPER, 0], [draft.now?.size ?? PAPER, (draft.now?.size ?? PAPER) * 0.8], [0, 0]], true, state.wide || 320);
  const draft = draftOf(app, lengths, {
    changed() {
      if (!draft.now) return;
      follow();
      refit();
      setTool('corner');
      redraw();
    },
    closed(points, isHole) {
      setTool('move');
      const shape = app.plan.part?.shape ?? {};
      if (isHole) put('part.shape', { ...shape, holes_mm: [...(shape.holes_mm ?? []), points] }, 'The hole is cut out.');
      else put('part.shape', { form: 'outline', points_mm: points }, 'The outline is closed.');
    },
    left() { setTool('move'); state.asked = ''; follow(); },
  });
  function begin(isHole) {
    const corners = cornersOf(app.plan);
    const wide = view.state.found && corners ? boundsOf(corners).high[0] - boundsOf(corners).low[0] : PAPER;
    draft.begin(isHole, isHole ? Math.max(lengths.ruled[0], Math.round(wide)) : PAPER);
    canvas.focus({ preventScroll: true });
  }

  const form = shapeForm({
    plan: () => app.plan, lengths,
    put: (shape, said) => put('part.shape', shape, said),
    drawByHand: () => begin(false),
    file: (name, bytes, wish) => ask('file', name, bytes, wish),
  });
  const list = rows({
    lengths, lines: () => linesOf(app.plan), zones, setLines, setZones, corners: () => cornersOf(app.plan),
    setCorners: (corners) => put('part.shape', { ...app.plan.part.shape, points_mm: corners }),
    choose(n) { state.chosen = n; if (view.state.found) redraw(); },
    home: canvas, shelf: () => app.shelf,
  });
  const front = frontLog(app, {
    text: say, lengths, isOpen: () => fold.open, isDrawn: () => Boolean(app.plan.part?.shape),
    tap(on) {
      setTool(on ? 'front' : 'move');
      if (on) canvas.scrollIntoView({ block: 'center', behavior: still() ? 'auto' : 'smooth' });
    },
  });
  front.el.addEventListener('toggle', () => follow());
  const roll = film({ most: () => view.state.end, say, draw(now) { state.now = now; redraw(); } });
  touch(canvas, view, {
    tool: () => state.tool, lines, sides: () => view.state.found?.sides ?? [], chosen: () => state.chosen, redraw, lineDrawn, zoneDrawn,
    corners: () => cornersOf(app.plan),
    choose(n) { state.chosen = n; redraw(); },
    moved(n) { write(heard, `${namesOf(lines())[n]}: ${lines()[n].points_mm.slice(0, 4).map(lengths.place).join('; ')}.`); },
    dragged: (moved) => void dragged(moved),
    dropped: (moved) => setLines(moved),
    undone() { state.live = null; state.corners = null; redraw(); follow(); },
    steps: lengths.steps,
    frontAt(place) {
      if (!place) { write(hint, 'The part is not there. Tap on the part, where the front is now.'); write(heard, hint.textContent); return; }
      front.tapped(place.map((value) => thousandth(Math.round(value / lengths.finger) * lengths.finger)));
      setTool('move');
    },
    onGrid: (corner) => corner.slice(0, 2).map((value) => thousandth(Math.round(value / lengths.snap) * lengths.snap)),
    cornersDragged(corners) { state.corners = corners; redraw(); },
    cornersDropped(corners) { state.corners = null; put('part.shape', { ...app.plan.part.shape, points_mm: corners }); },
    stretched([a, b], tool) {
      redraw();
      const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
      context.lineWidth = 4;
      context.strokeStyle = getComputedStyle(document.documentElement).getPropertyValue('--flax');
      context.beginPath();
      if (['feed', 'vent', 'channel'].includes(tool)) { context.moveTo(...a); context.lineTo(...b); } else context.rect(a[0], a[1], b[0] - a[0], b[1] - a[1]);
      context.stroke();
    },
    cornerAt(point, place) {
      const first = draft.now?.points[0] && view.seen(draft.now.points[0]);
      draft.tapped(point, Boolean(first && Math.hypot(first[0] - place[0], first[1] - place[1]) < 22));
    },
  });
  for (const [tool, name] of Object.entries(TOOLS)) tools.append(h('button', { type: 'button', 'data-tool': tool, 'aria-pressed': 'false', on: { click: () => setTool(tool) } }, name));
  const shapeTool = h('button', { type: 'button', 'data-tool': 'shape', 'aria-pressed': 'false', on: { click: () => setTool('shape') } }, 'Corners');
  const holeTool = h('button', { type: 'button', on: { click: () => begin(true) } }, 'Hole');
  const frontTool = h('button', { type: 'button', 'data-tool': 'front', 'aria-pressed': 'false', hidden: true, on: { click: () => front.arm() } }, 'Front');
  tools.append(shapeTool, holeTool, frontTool, back);

  /** What suggestions stand on: all of the plan but its lines and its mesh, which they bring. */
  const withoutLines = () => {
    const { fill: { lines: _lines, front: _front, ...fill } = {}, bag: { flow_mesh: _mesh, ...bag } = {}, part: { area_m2: _area, flow_length_mm: _run, ...part } = {}, ...rest } = app.plan;
    return keyOf({ ...rest, fill: { ...fill, channels: channelsOf(app.plan) }, bag, part }, app.own);
  };
  const use = ({ lines: found, flow_mesh: mesh, title }) => {
    const { id } = app.plan;
    const before = [copyOf(app.plan.fill?.lines ?? null), app.plan.bag?.flow_mesh];
    step();
    const lay = (laid, meshed) => { if (app.plan.id !== id) app.open(id); app.set('bag.flow_mesh', meshed); app.set('fill.lines', laid); };
    const plain = view.state.flat ? found.map((line) => ({ ...line, points_mm: line.points_mm.map(([x, y]) => [x, y]) })) : found;
    lay([...channelsOf(app.plan), ...plain], mesh);
    state.mine = true;
    app.say(`${title}: these lines are on the part.`, { undo() { step(); lay(before[0] ?? undefined, before[1]); } });
    follow();
  };
  const suggest = h('div', {}, h('p', { class: 'buttons' }, h('button', {
    type: 'button', class: 'main',
    on: {
      async click() {
        triedOn = withoutLines();
        ways.replaceChildren(h('p', { class: 'read-as' }, 'Trying ways to feed the part.'));
        write(heard, 'Trying ways to feed the part.');
        const found = await ask('layouts').catch(() => null);
        const none = 'Lines can be suggested once the part has its picture.';
        write(heard, found?.sentence ?? none);
        ways.replaceChildren(...(found ? layoutList(found, use) : [h('p', {}, none)]));
      },
    },
  }, 'Suggest lines')), ways);
  const figure = h('figure', { class: 'board' }, canvas, turn);
  const wordFold = h('details', { class: 'words' }, h('summary', {}, 'In words and figures'), words);
  const fold = h('details', { class: 'board-fold' }, h('summary', {}, 'Draw the part and its lines'),
    form.el, problems, answer, heard, tools, hint, exact, draft.el, figure, roll.el, notes, suggest, list.el, wordFold, front.el);
  fold.addEventListener('toggle', () => {
    if (fold.open && !draft.now && draft.resume()) refit();
    setTool(draft.now ? 'corner' : state.tool);
    follow();
  });
  places.section.append(fold);
  setTool('move');
  new ResizeObserver(([{ contentRect }]) => {
    // On a phone held sideways all of it is in view.
    const wide = Math.round(Math.min(contentRect.width, 620, Math.max(280, innerHeight * 0.9)));
    if (wide > 0 && wide !== state.wide) { state.wide = wide; canvas.style.maxWidth = `${wide}px`; refit(); }
  }).observe(figure);
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => { if (fold.isConnected) redraw(); });
  if (app.plan.part?.shape || marksOf(app.plan).length > 0) fold.open = true;
  return { update: () => follow(REST) };
}
