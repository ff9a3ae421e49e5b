// The shape of a part: a form with its sizes, corners typed or drawn, or a file.
import { h, idFor, write } from './dom.js';
import { filePicture } from './shape-picture.js';

/** The forms, their sizes, and what those are usually. */
export const FORMS = {
  rectangle: ['Rectangle', [['length_mm', 'Length', 900], ['width_mm', 'Width', 600]]],
  disc: ['Disc', [['diameter_mm', 'Diameter', 500]]],
  ell: ['L', [['length_mm', 'Length', 900], ['width_mm', 'Width', 700], ['arm_mm', 'Width of the arms', 250]]],
  frame: ['Frame', [['length_mm', 'Length', 900], ['width_mm', 'Width', 600], ['border_mm', 'Width of the border', 100]]],
  taper: ['Tapered', [['length_mm', 'Length', 1200], ['width_mm', 'Width', 400], ['far_width_mm', 'Width at the far end', 200]]],
  outline: ['Drawn by hand', []],
  shell: ['From a file', []],
};

/** One length with its label and unit. */
function sizeEntry(label, id, lengths, usual, onChange) {
  const input = h('input', { type: 'text', inputmode: 'decimal', id, autocomplete: 'off', enterkeyhint: 'done' });
  const told = h('p', { class: 'under', id: `${id}-under`, role: 'status' });
  input.setAttribute('aria-describedby', told.id);
  const el = h('div', { class: 'entry' }, h('label', { for: id }, label), h('div', { class: 'well' }, input, h('span', { class: 'unit' }, lengths.unit)), told);
  /** Tells what stands in the way of this size; empty when nothing does. */
  function tell(sentence) {
    write(told, sentence);
    told.classList.toggle('problem', sentence !== '');
    if (sentence) input.setAttribute('aria-invalid', 'true');
    else input.removeAttribute('aria-invalid');
  }
  input.addEventListener('change', () => {
    const value = lengths.read(input.value);
    tell(value === null ? lengths.ask(usual) : '');
    // What cannot be used stays in the plan as it was typed.
    onChange(value ?? input.value);
  });
  return {
    el, input,
    tell,
    set(value) {
      const text = typeof value === 'number' ? lengths.show(value) : String(value ?? '');
      if (document.activeElement !== input && input.value !== text) input.value = text;
    },
  };
}

/**
 * The choice of a form, its sizes, and the file.
 * @param {{ plan: () => any, lengths: any, put: (shape: any, words: string) => void, drawByHand: () => void, file: (name: string, bytes: Uint8Array, wish: any) => Promise<any> }} hooks
 */
export function shapeForm({ plan, lengths, put, drawByHand, file }) {
  const select = h('select', { id: 'shape-form' }, h('option', { value: '' }, 'not drawn'), ...Object.entries(FORMS).map(([form, [name]]) => h('option', { value: form }, name)));
  const sizes = h('div', { class: 'entries' });
  const picked = h('input', { type: 'file', id: 'shape-file', accept: '.svg,.dxf,.stl,.obj,.ply', class: 'file' });
  const button = h('label', { class: 'button' }, 'Outline or shell from a file', picked);
  const told = h('div', { role: 'status' });
  const asks = h('p', { class: 'buttons', hidden: true });
  /** The file that is being read, with what was wished so far; null when its shape is no longer that of the plan. @type {any} */
  let open = null;
  const view = filePicture(lengths, (more) => open && void read({ ...open.wish, ...more }));
  const el = h('div', {}, h('div', { class: 'entry' }, h('label', { for: 'shape-form' }, 'Form of the part'), h('div', { class: 'well' }, select)), sizes,
    h('p', { class: 'buttons' }, button), h('p', { class: 'read-as' }, 'A drawing as SVG or DXF, or a shell as STL, OBJ or PLY.'), asks, told, view.el);
  let shown = '';
  let entries = [];

  select.addEventListener('change', () => {
    const form = select.value;
    if (form === 'outline') { update(); return drawByHand(); }
    if (form === 'shell') { picked.click(); update(); return undefined; }
    if (!form) return put(undefined, 'The drawing is taken off the plan.');
    const before = plan().part?.shape ?? {};
    tell(FORMS[form][1].every(([key]) => key in before) ? [] : ['These sizes are an example. Type those of your part.']);
    return put({ form, ...Object.fromEntries(FORMS[form][1].map(([key, , usual]) => [key, before[key] ?? lengths.usual(usual)])) }, '');
  });

  const tell = (sentences) => told.replaceChildren(...(sentences.length ? [h('ul', { class: 'told-list' }, ...sentences.map((sentence) => h('li', {}, sentence)))] : []));
  function close() {
    open = null;
    asks.hidden = true;
    view.show(null);
  }
  async function read(wish) {
    const mine = { ...open, wish };
    open = mine;
    tell(['Reading the file.']);
    const answer = await file(mine.name, mine.bytes, wish).catch(() => ({ problems: [{ sentence: 'This part of Bastwork is not on this device yet. Try again with a network.' }] }));
    // Another file, plan or tap came in between.
    if (open !== mine) return;
    const problems = answer.problems.map(({ sentence }) => sentence);
    tell([...problems, ...(answer.told ?? [])]);
    // What cannot be read that way is left as it was, with its choices.
    if (!answer.picture) { if (!view.shown()) close(); return; }
    view.show(answer, wish);
    // The picture first; but a question before what it is about.
    if (answer.asks_unit) view.el.before(told);
    else view.el.after(told);
    asks.hidden = !answer.asks_unit;
    if (answer.asks_unit) {
      asks.replaceChildren(...answer.picture.units.map(({ value, name }) => h('button', { type: 'button', on: { click: () => void read({ ...open.wish, unit: value }) } }, name)));
      asks.querySelector('button')?.focus();
    }
    if (answer.shape) { open.placed = true; put({ ...answer.shape, from: mine.name }, `The part now has the shape of ${mine.name}.`); }
  }
  picked.addEventListener('change', async () => {
    const [chosen] = picked.files ?? [];
    picked.value = '';
    if (!chosen) return;
    close();
    open = { name: chosen.name, bytes: new Uint8Array(await chosen.arrayBuffer()), plan: plan().id, placed: false, wish: {} };
    await read({});
  });

  function update() {
    const shape = plan().part?.shape;
    const form = shape?.form ?? '';
    if (open && (open.plan !== plan().id || (open.placed && shape?.from !== open.name))) close();
    select.value = form;
    if (form !== shown) {
      shown = form;
      entries = (FORMS[form]?.[1] ?? []).map(([key, label, usual]) => [key, sizeEntry(label, idFor(`part.shape.${key}`), lengths, usual, (value) => put({ ...plan().part.shape, [key]: value }, ''))]);
      sizes.replaceChildren(...entries.map(([, entry]) => entry.el));
    }
    for (const [key, entry] of entries) entry.set(shape[key]);
  }
  /** Tells each problem beside its size; gives back those of no size. */
  function tellSizes(problems) {
    for (const [key, entry] of entries) entry.tell(problems.find(({ field }) => field === `part.shape.${key}`)?.sentence ?? '');
    return problems.filter(({ field }) => !entries.some(([key]) => field === `part.shape.${key}`));
  }
  return { el, update, tellSizes };
}
