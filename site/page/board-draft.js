// An outline or a hole that is tapped corner by corner, with its grid; it waits through a reload until it is closed.
import { h, write } from './dom.js';
import { thousandth } from './board-length.js';

const onGrid = (corner, grid) => corner.slice(0, 2).map((value) => thousandth(Math.round(value / grid) * grid));

/**
 * @param {any} app
 * @param {any} lengths
 * @param {{ changed: () => void, closed: (points: number[][], isHole: boolean) => void, left: () => void }} hooks
 */
export function draftOf(app, lengths, hooks) {
  const GRIDS = lengths.grids;
  /** The grid for a drawing of this size [mm]. */
  const gridFor = (size) => GRIDS[size > lengths.coarse ? 1 : 0];

  /** @type {{ points: number[][], isHole: boolean, size: number, grid: number, from?: string } | null} */
  let draft = null;
  const key = () => `bastwork.unfinished.${app.plan.id}.part.shape`;
  const keep = () => {
    try {
      if (draft) sessionStorage.setItem(key(), JSON.stringify(draft));
      else sessionStorage.removeItem(key());
    } catch { /* It stays on the screen then. */ }
  };

  const status = h('p', { class: 'read-as', role: 'status' });
  const typed = ['x', 'y'].map((axis) => h('input', { type: 'text', inputmode: 'decimal', autocomplete: 'off', 'aria-label': `Next corner, ${axis} in ${lengths.name}` }));
  const size = h('input', { type: 'text', inputmode: 'decimal', autocomplete: 'off', 'aria-label': `Width of the paper in ${lengths.name}` });
  const grids = GRIDS.map((grid) => h('button', { type: 'button', on: { click() { if (draft) draft.grid = grid; changed(); } } }, lengths.say(grid)));
  const close = h('button', { type: 'button', class: 'main', on: { click: finish } }, 'Close the outline');
  const paper = h('p', { class: 'places' }, h('label', { class: 'with-box' }, 'Paper ', size, ` ${lengths.unit} wide`));
  const el = h('div', { class: 'draft', hidden: true }, status,
    h('p', { class: 'buttons' }, h('button', { type: 'button', on: { click() { draft?.points.pop(); changed(); } } }, 'Undo corner'), close,
      h('button', { type: 'button', class: 'quiet', on: { click: leave } }, 'Leave it')),
    h('div', { class: 'tools', role: 'group', 'aria-label': 'Corners keep to a grid of' }, h('span', {}, 'Grid'), ...grids), paper,
    h('p', { class: 'places' }, ...typed.map((input, axis) => h('label', { class: 'with-box' }, ['x ', 'y '][axis], input)),
      h('button', { type: 'button', on: { click: addTyped } }, 'Add this corner')));

  size.addEventListener('change', () => {
    const wide = lengths.read(size.value);
    if (!draft || wide === null || wide < 50 || wide > 20000) return;
    Object.assign(draft, { size: wide, grid: gridFor(wide) });
    changed();
  });
  for (const input of typed) input.addEventListener('keydown', (event) => { if (event.key === 'Enter') addTyped(); });

  function addTyped() {
    const corner = typed.map(({ value }) => lengths.read(value));
    const wanting = corner.indexOf(null);
    if (wanting >= 0) {
      write(status, `A corner needs x and y in ${lengths.name}, for example ${lengths.show(lengths.usual(300))} and 0.`);
      typed[wanting].focus();
      return;
    }
    draft?.points.push(/** @type {number[]} */ (corner));
    for (const input of typed) input.value = '';
    changed();
    typed[0].focus();
  }

  function changed() {
    keep();
    update();
    hooks.changed();
  }

  function update() {
    el.hidden = !draft;
    if (!draft) return;
    const { points, isHole, grid } = draft;
    paper.hidden = isHole;
    if (document.activeElement !== size) size.value = lengths.show(draft.size);
    grids.forEach((button, n) => button.setAttribute('aria-pressed', String(GRIDS[n] === grid)));
    write(close, isHole ? 'Close the hole' : 'Close the outline');
    const last = points.at(-1);
    const way = points.length < 3 ? 'Tap the corners one after the other.' : 'Tap the first corner again, or close it below.';
    write(status, last ? `Corner ${points.length} is at ${lengths.place(last)}. ${way}` : way);
  }

  function finish() {
    if (!draft) return;
    const { points, isHole } = draft;
    if (points.length < 3) {
      write(status, 'An outline needs at least three corners.');
      return;
    }
    draft = null;
    keep();
    update();
    hooks.closed(points, isHole);
  }

  function leave() {
    const before = draft;
    draft = null;
    keep();
    update();
    hooks.left();
    if (before?.points.length) {
      const { id } = app.plan;
      app.say('What was drawn is put away.', { undo() { if (app.plan.id !== id) return; draft = before; changed(); } });
    }
  }

  return {
    el,
    get now() { return draft; },
    /** Begins an outline on paper of this width, or a hole. */
    begin(isHole, wide) {
      draft = { points: [], isHole, size: wide, grid: gridFor(wide) };
      changed();
    },
    /** Takes up what waits from before a reload; whether there is any. */
    resume() {
      try { draft = JSON.parse(sessionStorage.getItem(key()) ?? 'null'); } catch { draft = null; }
      if (!Array.isArray(draft?.points)) draft = null;
      update();
      return draft !== null;
    },
    /** A tap on the drawing; one on the first corner closes it. */
    tapped(corner, isFirst) {
      if (!draft) return;
      if (isFirst && draft.points.length > 2) { finish(); return; }
      draft.points.push(onGrid(corner, draft.grid));
      changed();
    },
  };
}
