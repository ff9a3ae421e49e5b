// The fill as a film: play, pause, and a slider that tells the minute.
import { h, still, write } from './dom.js';

/** How long the whole film runs, in milliseconds. */
const RUNS = 7000;
/** Steps of the slider. */
const STEPS = 200;

/**
 * @param {{ draw: (now: number | null) => void, most: () => number, say: (min: number) => string }} hooks
 *   `draw` gets the minute, or null for the whole picture; `most` is the last minute; `say` gives a minute as text.
 */
export function film({ draw, most, say }) {
  const button = h('button', { type: 'button' }, 'Play');
  const slider = h('input', { type: 'range', min: '0', max: String(STEPS), value: String(STEPS), id: 'film', 'aria-label': 'Time since the feed was opened' });
  const told = h('output', { for: 'film', 'aria-live': 'off' });
  const el = h('div', { class: 'film' }, button, slider, told);
  let frame = 0;
  let began = 0;

  const atEnd = () => Number(slider.value) >= STEPS;
  const minutes = () => (Number(slider.value) / STEPS) * most();
  function show() {
    // Who wants things to stay still moves the slider.
    button.hidden = still();
    const text = say(minutes());
    write(told, text);
    slider.setAttribute('aria-valuetext', `after ${text}`);
    draw(atEnd() ? null : minutes());
  }
  function stop() {
    cancelAnimationFrame(frame);
    frame = 0;
    write(button, 'Play');
  }
  function step(time) {
    const share = (time - began) / RUNS;
    slider.value = String(Math.min(STEPS, Math.round(share * STEPS)));
    show();
    if (share >= 1 || !el.isConnected) stop();
    else frame = requestAnimationFrame(step);
  }
  button.addEventListener('click', () => {
    if (frame) { stop(); return; }
    const from = atEnd() ? 0 : Number(slider.value) / STEPS;
    write(button, 'Pause');
    frame = requestAnimationFrame((time) => { began = time - from * RUNS; step(time); });
  });
  slider.addEventListener('input', () => { stop(); show(); });
  return { el, show, stop };
}
