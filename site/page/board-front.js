// The front, watched on the part: the feed opens with a tap, and each place that resin comes to is noted with its minute.
import { numberOf } from './board-length.js';
import { learnedPart } from './board-learn.js';
import { inOrder, markWords, marksOf, whereOf } from './board-marks.js';
import { h, idFor, write } from './dom.js';

const PATH = 'fill.front';
const MINUTE = 60000;
/** A tap is good to this part of a minute. */
const PART = 20;
/** Milliseconds between two looks at the clock. */
const LOOK = 5000;

/** When the feed was opened [ms]: as it was tapped here, or as the day has it. */
const openedAt = ({ stamps }) => Date.parse(stamps?.[PATH] ?? stamps?.['day.began.fill'] ?? '');

/**
 * @param {any} app
 * @param {{ text: (min: number) => string, lengths: any, isOpen: () => boolean, isDrawn: () => boolean, tap: (on: boolean) => void }} hooks
 *   `tap` has the picture wait for one tap, which comes back by `tapped`.
 */
export function frontLog(app, { text, lengths, isOpen, isDrawn, tap }) {
  const field = (name, label, unit) => {
    const id = idFor(`${PATH}.${name}`);
    const input = h('input', { id, type: 'text', inputmode: 'decimal', autocomplete: 'off', enterkeyhint: 'done', 'aria-describedby': idFor(`${PATH}.under`) });
    return { input, el: h('div', { class: 'entry' }, h('label', { for: id }, label), h('div', { class: 'well' }, input, h('span', { class: 'unit' }, unit))) };
  };
  const mark = field('mm', 'Mark, from the feed', lengths.unit);
  const minute = field('min', 'Minute, if not now', 'min');
  const under = h('p', { class: 'under', id: idFor(`${PATH}.under`) });
  const since = h('p', { class: 'since' });
  const heard = h('p', { class: 'unseen', role: 'status' });
  const opened = h('button', { type: 'button', class: 'main note-it', on: { click: open } }, 'The feed is open');
  const here = h('button', { type: 'button', class: 'main note-it', on: { click: note } }, 'The front is here');
  const onPicture = h('button', { type: 'button', 'aria-pressed': 'false', on: { click: () => (onPicture.getAttribute('aria-pressed') === 'true' ? tap(false) : arm()) } }, 'Tap it on the picture');
  const full = h('button', { type: 'button', on: { click: noteFull } }, 'It is full');
  const list = h('ol', { class: 'readings-list' });
  const anew = h('button', { type: 'button', class: 'quiet', on: { click: startAnew } }, 'Start anew');
  const learned = learnedPart(app, { isOpen: () => isOpen() && el.open });
  const way = h('p', {});
  const el = h('details', { class: 'log' }, h('summary', {}, 'Watch the front'), way, since, opened,
    h('div', { class: 'reading' }, mark.el, minute.el), under, here, h('div', { class: 'tools front-tools' }, onPicture, full), heard, list, anew, learned.el);
  let timer = 0;

  const marks = () => marksOf(app.plan);
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
    return null;
  }

  function clear() {
    for (const { input } of [mark, minute]) input.removeAttribute('aria-invalid');
    under.classList.remove('problem');
    write(under, '');
  }

  /** The minute that was typed, else that of now; null, and said so, when there is none. */
  function minuteNow() {
    const typed = minute.input.value.trim() ? numberOf(minute.input.value) : undefined;
    if (typed === null || Number(typed) < 0) return tell(minute.input, 'Type the minutes since the feed was opened, for example 4.');
    if (typed !== undefined) return typed;
    const gone = Date.now() - openedAt(app.plan);
    return gone >= 0 ? Math.round((gone / MINUTE) * PART) / PART : tell(minute.input, 'Tap "The feed is open" when you open it, or type the minute.');
  }

  /** Notes a mark; one that is told at the top can be taken back there. */
  function add(found, { loud = false } = {}) {
    const { id } = app.plan;
    const replaced = marks().filter((one) => found.ended && one?.ended);
    minute.input.value = '';
    put([...marks().filter((one) => !replaced.includes(one)), found]);
    const words = `Noted: ${lower(markWords(found, lengths, text))}.`;
    // Only this one is taken back, whatever was noted since.
    const back = () => {
      const at = marks().findIndex((one) => JSON.stringify(one) === JSON.stringify(found));
      if (at >= 0) put(marks().toSpliced(at, 1, ...replaced));
    };
    if (loud) app.say(words, { undo: onPlan(id, back) });
    else heard.textContent = words;
  }

  function note() {
    clear();
    const mm = lengths.read(mark.input.value);
    if (mm === null || mm < 1) return tell(mark.input, `Type how far the mark is from the feed, for example ${lengths.show(lengths.usual(100))}.`);
    const min = minuteNow();
    if (min === null) return null;
    mark.input.value = '';
    add({ min, mm });
    mark.input.focus();
    return null;
  }

  function noteFull() {
    clear();
    const min = minuteNow();
    if (min !== null) add({ min, ended: true }, { loud: true });
  }

  /** Has the picture wait for a tap, where its minute is known. */
  function arm() {
    clear();
    el.open = true;
    if (minuteNow() !== null) tap(true);
  }

  /** Takes a tap on the picture. */
  function tapped(place) {
    const min = minuteNow();
    if (min !== null) add({ min, at_mm: place }, { loud: true });
  }

  const lower = (words) => words.charAt(0).toLowerCase() + words.slice(1);

  function takeOut(at) {
    const { id } = app.plan;
    const gone = marks()[at];
    put(marks().toSpliced(at, 1));
    app.say(`${naming(gone)} is taken out.`, { undo: onPlan(id, () => put(marks().toSpliced(at, 0, gone))) });
    mark.input.focus();
  }
  /** What a mark is called: the mark at 100 mm, the mark at x 300, y 120 mm, the mark that it is full. */
  const naming = (one) => (one?.ended ? 'The mark that it is full' : `The mark at ${whereOf(one, lengths).replace(/^At /, '')}`);

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
    onPicture.hidden = !isDrawn();
    if (!el.open) return;
    look();
    if (!timer) timer = setInterval(look, LOOK);
    const began = !Number.isNaN(openedAt(app.plan));
    opened.hidden = began;
    anew.hidden = !began && marks().length === 0;
    write(way, `Draw marks across the part, ${lengths.say(lengths.usual(100))} apart, before you open the feed${isDrawn() ? ', or tap on the picture where the front is' : ''}. What you note tells how easily resin runs in your own cloth.`);
    learned.update();
    const now = JSON.stringify(marks());
    if (now === drawn) return;
    drawn = now;
    list.replaceChildren(...inOrder(marks()).map(({ mark: one, at }) => h('li', { class: 'mark' }, h('strong', {}, markWords(one, lengths, text)),
      h('button', { type: 'button', class: 'quiet', 'aria-label': `Take out ${lower(naming(one))}`, on: { click: () => takeOut(at) } }, 'Take out'))));
  }

  for (const { input } of [mark, minute]) input.addEventListener('keydown', (event) => { if (event.key === 'Enter') note(); });
  el.addEventListener('toggle', update);
  if (marks().length > 0) el.open = true;
  onPicture.hidden = !isDrawn();
  return {
    el, update, arm, tapped,
    /** Shows whether the picture waits for a tap. */
    waits: (on) => onPicture.setAttribute('aria-pressed', String(on)),
  };
}
