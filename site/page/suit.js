// Whether bast fibre suits the part: the same job in other materials, side by side, each figure on one scale.
import { h, svg, write } from './dom.js';

/** The figures of a material: name in the sheet, label, what it adds to the choice of what to compare. */
const FIGURES = [
  ['mass', 'Mass'], ['thickness', 'Thickness'], ['fibre', 'Fibre'], ['resin', 'Resin in the part'],
  ['fossil', 'Fossil carbon'], ['stored', 'Held in the fibre'], ['end_of_life', 'Given off when burnt'],
  ['cost', 'Cost'], ['damping', 'Loss of vibration'], ['strength', 'Bending strength, your stack = 1'],
];
/** What can be compared: a word, its label, the figures it shows. Carbon is three lines, never one sum. */
const CHOICES = [
  ['mass', 'mass', ['mass']], ['thickness', 'thickness', ['thickness']], ['strength', 'strength', ['strength']],
  ['carbon', 'carbon: fossil, held, given off', ['fossil', 'stored', 'end_of_life']],
  ['damping', 'loss of vibration', ['damping']], ['cost', 'cost', ['cost']], ['fibre', 'fibre', ['fibre']], ['resin', 'resin', ['resin']],
  ['all', 'every figure', FIGURES.map(([name]) => name)],
];
/** Figures of the same unit that share one scale, so that their lengths compare. */
const SHARED = { fossil: 'carbon', stored: 'carbon', end_of_life: 'carbon', mass: 'mass', fibre: 'mass', resin: 'mass' };

const LONG = 300;

/** The name of a material as it reads here. */
export const nameOfRow = (row) => (row.this ? 'Your stack' : row.name);

/** A whisker on a scale that all materials share; the line starts at nothing. */
function onScale({ low, likely, high }, most) {
  const at = (value) => (3 + (Math.min(value, most) / most) * (LONG - 6)).toFixed(1);
  return svg('svg', { class: 'whisker long', viewBox: `0 0 ${LONG} 14`, 'aria-hidden': 'true', focusable: 'false' },
    svg('path', { class: 'scale', d: `M3 7H${LONG - 3}M3 2V12` }),
    svg('path', { class: 'run', d: `M3 7H${at(likely)}` }),
    svg('path', { class: 'reach', d: `M${at(low)} 7H${at(high)}M${at(low)} 3V11M${at(high)} 3V11` }),
    svg('circle', { class: 'likely', cx: at(likely), cy: 7, r: 3.5 }));
}

/** The longest whisker of each kind of figure. */
function scales(rows) {
  const most = {};
  for (const [name] of FIGURES) {
    const kind = SHARED[name] ?? name;
    for (const row of rows) if (row[name]) most[kind] = Math.max(most[kind] ?? 0, row[name].high);
  }
  return (name) => most[SHARED[name] ?? name] || 1;
}

/** One material: its name, what is laid, its figures. */
function material() {
  const name = h('h4', {});
  const build = h('p', { class: 'build' });
  const cells = new Map(FIGURES.map(([key, label]) => {
    const text = h('span', { class: 'text' });
    const range = h('span', { class: 'range' });
    const drawn = h('span', { class: 'drawn' });
    const word = h('dt', {}, label);
    return [key, { el: h('div', { class: 'cell' }, word, h('dd', {}, h('span', { class: 'amounts' }, text, ' ', range), drawn)), word, text, range, drawn }];
  }));
  const looks = h('p', { class: 'looks' });
  const damp = h('p', { class: 'damp' });
  const el = h('li', { class: 'material' }, name, build, h('dl', {}, ...[...cells.values()].map((cell) => cell.el)), looks, damp);
  return {
    el,
    update(row, most, shown, alone) {
      el.classList.toggle('this', row.this);
      write(name, nameOfRow(row));
      write(build, row.build);
      write(looks, row.looks);
      write(damp, row.damp);
      for (const part of [build, looks, damp]) part.hidden = alone;
      for (const [key, cell] of cells) {
        const found = row[key];
        cell.el.hidden = !shown.includes(key) || (!found && key !== 'stored' && !(alone && key === 'cost'));
        cell.word.classList.toggle('unseen', shown.length === 1);
        if (cell.el.hidden) continue;
        write(cell.text, found ? found.text : key === 'stored' ? 'none' : 'no price written');
        write(cell.range, found?.range ?? '');
        cell.drawn.replaceChildren(...(found ? [onScale(found, most(key))] : []));
      }
    },
  };
}

/** Flax beside glass: what the figures here give, and what was published. */
function ratioList(ratios) {
  return h('ul', { class: 'ratios' }, ...ratios.map(({ label, text, range, published, agrees }) => h('li', {},
    h('p', {}, h('strong', {}, label), ': ', h('span', { class: 'text' }, text), range && h('span', { class: 'range' }, ` ${range}`)),
    h('p', { class: 'read-as' }, `Published: ${published}. ${agrees}`))));
}

/** Keeps the comparison up to date. */
export function suitView() {
  const verdict = h('ul', { class: 'verdict' });
  const basis = h('p', { class: 'basis' });
  const list = h('ul', { class: 'materials' });
  const select = h('select', { id: 'suit-compare' }, ...CHOICES.map(([word, label]) => h('option', { value: word }, label)));
  const ratios = h('div', {});
  const footing = h('div', { class: 'read-as' });
  const count = h('p', { class: 'read-as' });
  const el = h('div', { class: 'suit' }, h('h3', {}, 'Side by side'), basis,
    h('div', { class: 'entry compare' }, h('label', { for: 'suit-compare' }, 'Compare by'), h('div', { class: 'well' }, select)),
    count, list,
    h('details', {}, h('summary', {}, 'Flax over glass, computed and published'), ratios),
    h('h3', {}, 'What the carbon lines count'), footing);
  /** @type {Map<string, ReturnType<typeof material>>} */
  const made = new Map();
  let latest = null;

  function drawRows() {
    if (!latest) return;
    const [word, , shown] = CHOICES.find(([name]) => name === select.value) ?? CHOICES[0];
    const most = scales(latest.rows);
    const alone = word !== 'all';
    list.classList.toggle('alone', alone);
    write(count, word === 'cost' && !latest.rows.some(({ cost }) => cost) ? 'Write your prices under prices and stock, and the cost stands here.' : '');
    count.hidden = !count.textContent;
    for (const row of latest.rows) {
      if (!made.has(row.key)) made.set(row.key, material());
      made.get(row.key).update(row, most, shown, alone);
    }
    const wanted = latest.rows.map(({ key }) => made.get(key).el);
    if (wanted.length !== list.children.length || wanted.some((one, place) => list.children[place] !== one)) list.replaceChildren(...wanted);
  }
  select.addEventListener('change', drawRows);

  return {
    el, verdict,
    /** @param {any} suit */
    update(suit) {
      latest = suit;
      if (!suit) return;
      const reasons = suit.verdict.filter((sentence) => sentence !== suit.head.answer);
      verdict.replaceChildren(...reasons.map((sentence) => h('li', {}, sentence)));
      write(basis, suit.basis);
      drawRows();
      ratios.replaceChildren(ratioList(suit.ratios));
      footing.replaceChildren(...suit.footing.map((sentence) => h('p', {}, sentence)));
    },
  };
}
