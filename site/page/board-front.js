// The front, watched on the part: the feed opens with a tap, and each mark that resin passes is noted with its minute.
import { h, idFor, write } from './dom.js';
import { numberOf } from './shapes.js';

const PATH = 'fill.front';
const MINUTE = 60000;
/** A tap is good to this part of a minute. */
const PART = 20;
/** Milliseconds between two looks at the clock. */
const LOOK = 5000;

/** When the feed was opened [ms]: as it was tapped here, or as the day has it. */
const openedAt = ({ stamps }) => Date.parse(stamps?.[PATH] ?? stamps?.['day.began.fill'] ?? '');

/** @param {any} app @param {{ text: (min: number) => string }} hooks */
export function frontLog(app, { text }) {
  const field = (name, label, unit) => {
    const id = idFor(`${PATH}.${name}`);
    const input = h('input', { id, type: 'text', inputmode: 'decimal', autocomplete: 'off', enterkeyhint: 'done', 'aria-describedby': idFor(`${PATH}.under`) });
    return { input, el: h('div', { class: 'entry' }, h('label', { for: id }, label), h('div', { class: 'well' }, input, h('span', { class: 'unit' }, unit))) };
  };
  const mark = field('mm', 'Mark, from the feed', 'mm');
  const minute = field('min', 'Minute, if not now', 'min');
  const under = h('p', { class: 'under', id: idFor(`${PATH}.under`) });
  const since = h('p', { class: 'since' });
  const heard = h('p', { class: 'unseen', role: 'status' });
  const opened = h('button', { type: 'button', class: 'main note-it', on: { click: open } }, 'The feed is open');
  const here = h('button', { type: 'button', class: 'main note-it', on: { click: note } }, 'The front is here');
  const list = h('ol', { class: 'readings-list' });
  const anew = h('button', { type: 'button', class: 'quiet', on: { click: startAnew } }, 'Start anew');
  const el = h('details', { class: 'log' }, h('summary', {}, 'Watch the front'),
    h('p', {}, 'Draw marks across the part, 100 mm apart, before you open the feed. What you note tells how easily resin runs in your own cloth.'),
    since, opened, h('div', { class: 'reading' }, mark.el, minute.el), under, here, heard, list, anew);
  let timer = 0;

  const marks = () => (Array.isArray(app.plan.fill?.front) ? app.plan.fill.front : []);
  /** On the plan that was on the bench when an undo was offered. */
  const onPlan = (id, go) => () => { if (app.plan.id !== id) app.open(id); go(); };

  function put(found, stamp) {
    const stamps = { ...app.plan.stamps };
    if (stamp === null) delete stamps[PATH];
    else if (stamp) stamps[PATH] = stamp;
    app.plan.stamps = stamps;
    app.set(PATH, found.length ? found : undefined);
    app.flush();
    update();
  }

  function open() {
    put(marks(), new Date().toISOString());
    mark.input.focus();
  }

  function tell(input, sentence) {
    under.classList.add('problem');
    write(under, sentence);
    input.setAttribute('aria-invalid', 'true');
    input.focus();
  }

  function note() {
    for (const { input } of [mark, minute]) input.removeAttribute('aria-invalid');
    under.classList.remove('problem');
    write(under, '');
    const mm = numberOf(mark.input.value);
    if (mm === null || mm < 1) return tell(mark.input, 'Type how far the mark is from the feed, for example 100.');
    let min = numberOf(minute.input.value);
    if (minute.input.value.trim() && (min === null || min < 0)) return tell(minute.input, 'Type the minutes since the feed was opened, for example 4.');
    if (min === null) {
      const gone = Date.now() - openedAt(app.plan);
      if (!(gone >= 0)) return tell(minute.input, 'Tap "The feed is open" when you open it, or type the minute.');
      min = Math.round((gone / MINUTE) * PART) / PART;
    }
    mark.input.value = '';
    minute.input.value = '';
    put([...marks(), { min, mm }]);
    heard.textContent = `Noted: ${mm} mm after ${text(min)}.`;
    mark.input.focus();
    return undefined;
  }

  function takeOut(at) {
    const { id } = app.plan;
    const gone = marks()[at];
    put(marks().toSpliced(at, 1));
    app.say(`The mark at ${gone.mm} mm is taken out.`, { undo: onPlan(id, () => put(marks().toSpliced(at, 0, gone))) });
    mark.input.focus();
  }

  function startAnew() {
    const { id, stamps } = app.plan;
    const [before, stamp] = [marks(), stamps?.[PATH]];
    put([], null);
    app.say('The marks are put away; open the feed to begin anew.', { undo: onPlan(id, () => put(before, stamp ?? null)) });
  }

  function look() {
    if (!el.isConnected || !el.open) {
      clearInterval(timer);
      timer = 0;
      return;
    }
    const at = openedAt(app.plan);
    const gone = Date.now() - at;
    const clock = new Intl.DateTimeFormat(undefined, { timeStyle: 'short' });
    write(since, gone >= 0 ? `The feed was opened ${gone < MINUTE ? 'less than a minute' : text(Math.floor(gone / MINUTE))} ago, at ${clock.format(at)}.` : 'Tap as you open the feed: the minutes count from there.');
  }

  let drawn = '';
  function update() {
    if (!el.open) return;
    look();
    if (!timer) timer = setInterval(look, LOOK);
    const began = !Number.isNaN(openedAt(app.plan));
    opened.hidden = began;
    anew.hidden = !began && marks().length === 0;
    const now = JSON.stringify(marks());
    if (now === drawn) return;
    drawn = now;
    list.replaceChildren(...marks().map((one, at) => ({ one, at })).sort((a, b) => a.one?.min - b.one?.min).map(({ one, at }) => h('li', { class: 'mark' },
      h('span', {}, h('span', { class: 'when' }, text(Number(one?.min))), ' ', h('strong', {}, `${one?.mm}\u00a0mm`)),
      h('button', { type: 'button', class: 'quiet', 'aria-label': `Take out the mark at ${one?.mm} mm`, on: { click: () => takeOut(at) } }, 'Take out'))));
  }

  for (const { input } of [mark, minute]) input.addEventListener('keydown', (event) => { if (event.key === 'Enter') note(); });
  el.addEventListener('toggle', update);
  if (marks().length > 0) el.open = true;
  return { el, update };
}
