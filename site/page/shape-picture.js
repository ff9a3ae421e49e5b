// The picture of a drawing file: every loop or face for a tap, the same as a list, and how the part lies and is measured.
import { h, svg, write } from './dom.js';

/**
 * @param {any} lengths
 * @param {(more: any) => void} wish What more is wished of the file.
 */
export function filePicture(lengths, wish) {
  /** @type {any} */
  let now = null;
  let wished = {};
  const says = h('p', { class: 'read-as' });
  const drawing = svg('svg', { class: 'file-picture', 'aria-hidden': 'true' });
  const modes = ['part', 'hole'].map((mode) => h('label', { class: 'with-box' }, h('input', { type: 'radio', name: 'file-tap', value: mode, checked: mode === 'part' }), mode === 'part' ? 'The part' : 'A hole, or none any more'));
  const mode = h('fieldset', { class: 'places' }, h('legend', {}, 'A tap picks'), ...modes);
  const list = h('ul', { class: 'board-rows' });
  const asList = h('details', {}, h('summary', {}, 'The same as a list'), list);
  const unit = h('select', { id: 'file-unit' });
  const side = h('select', { id: 'file-side', 'aria-label': 'Side that is measured' });
  const size = h('input', { type: 'text', inputmode: 'decimal', id: 'file-size', autocomplete: 'off', enterkeyhint: 'done', 'aria-describedby': 'file-size-under' });
  const under = h('p', { class: 'under', id: 'file-size-under', role: 'status' });
  const up = h('select', { id: 'file-up' });
  const upEntry = h('div', { class: 'entry' }, h('label', { for: 'file-up' }, 'Side that faces up'), h('div', { class: 'well' }, up));
  const turn = h('button', { type: 'button' }, 'Turn by a quarter');
  const mirror = h('button', { type: 'button', 'aria-pressed': 'false' }, 'Mirror');
  const el = h('div', { class: 'file-view', hidden: true }, says, drawing, mode, asList,
    h('div', { class: 'entries' },
      h('div', { class: 'entry' }, h('label', { for: 'file-unit' }, 'One unit of the file'), h('div', { class: 'well' }, unit)),
      h('div', { class: 'entry' }, h('label', { for: 'file-size' }, 'This side measures'), h('div', { class: 'well' }, side, size, h('span', { class: 'unit' }, lengths.unit)), under),
      upEntry),
    h('p', { class: 'buttons' }, turn, mirror));

  const inMode = () => (modes[1].firstChild.checked && !mode.hidden ? 'as_hole' : 'as_part');
  /** Takes what a loop or face picks, when it picks anything. */
  const take = (pick) => pick && wish({ pick });
  drawing.addEventListener('click', ({ target }) => {
    const area = now?.picture.areas.find(({ key }) => key === target.dataset?.key);
    if (area) take(area[inMode()] ?? area.as_part);
  });
  unit.addEventListener('change', () => { size.value = ''; wish({ unit: unit.value || null, measure: null }); });
  function measured() {
    const mm = size.value.trim() ? lengths.read(size.value) : 0;
    const sentence = mm === null || mm < 0 ? lengths.ask(900) : '';
    write(under, sentence);
    under.classList.toggle('problem', sentence !== '');
    if (sentence) size.setAttribute('aria-invalid', 'true');
    else size.removeAttribute('aria-invalid');
    if (!sentence) wish({ measure: mm ? { side: Number(side.value), mm } : null });
  }
  size.addEventListener('change', measured);
  side.addEventListener('change', () => { if (size.value.trim()) measured(); else placeholder(); });
  up.addEventListener('change', () => wish({ up: up.value }));
  turn.addEventListener('click', () => wish({ turns: ((wished.turns ?? 0) + 1) % 4 }));
  mirror.addEventListener('click', () => wish({ mirror: !wished.mirror }));

  function placeholder() {
    const mm = now?.picture.sides[Number(side.value)]?.mm;
    size.placeholder = typeof mm === 'number' ? lengths.show(mm) : '';
  }

  const ROLES = { part: 'the part', hole: 'a hole', other: 'left out' };
  function row(area, many) {
    const box = h('input', { type: many ? 'checkbox' : 'radio', name: many ? null : 'file-part', checked: area.role === 'part', 'data-row': area.key, on: { change: () => take(area.as_part) } });
    const hole = area.as_hole && h('label', { class: 'with-box' }, h('input', { type: 'checkbox', checked: area.role === 'hole', 'data-row': `hole ${area.key}`, on: { change: () => take(area.as_hole) } }), 'Hole');
    return h('li', {}, h('label', { class: 'with-box' }, box, `${area.words} (${ROLES[area.role]})`), hole);
  }

  /** Replaces the choices of a list, its chosen one kept. */
  function choices(select, options, chosen) {
    select.replaceChildren(...options.map(([value, name]) => h('option', { value }, name)));
    select.value = chosen;
  }

  return {
    el,
    shown: () => now !== null,
    /** Shows a reading and the wish it followed; none hides all. */
    show(reading, wish_ = {}) {
      if (!reading) size.value = '';
      const fresh = now === null;
      now = reading;
      wished = wish_;
      el.hidden = !reading;
      if (!reading) return;
      const { picture } = reading;
      write(says, picture.says);
      drawing.classList.toggle('faces', picture.many);
      drawing.setAttribute('viewBox', `-8 -8 ${picture.size[0] + 16} ${picture.size[1] + 16}`);
      drawing.replaceChildren(...picture.areas.map(({ key, path, role }) => svg('path', { d: path, class: role, 'data-key': key })));
      mode.hidden = !picture.areas.some(({ as_hole: hole }) => hole);
      if (fresh) modes[0].firstChild.checked = true;
      const at = document.activeElement?.dataset?.row;
      list.replaceChildren(...picture.areas.map((area) => row(area, picture.many)));
      if (at) [...list.querySelectorAll('input')].find((input) => input.dataset.row === at)?.focus();
      choices(unit, [['', reading.asks_unit || wished.measure ? 'not said' : 'as the file says'], ...picture.units.map(({ value, name }) => [value, name])], picture.unit ?? '');
      choices(side, picture.sides.map(({ name }, i) => [String(i), name]), side.value || '0');
      placeholder();
      upEntry.hidden = picture.ups.length === 0;
      choices(up, picture.ups.map(({ value, name }) => [value, name]), wished.up ?? 'top');
      mirror.setAttribute('aria-pressed', String(Boolean(wished.mirror)));
    },
  };
}
