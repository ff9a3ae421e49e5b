// The fill as a film: play, pause, and a slider that tells the minute.
import { h, still, write } from './dom.js';

/** How long the whole film runs, in milliseconds. */
const RUNS = 7000;

/**
 * @param {{ draw: (now: number | null) => void, most: () => number }} hooks
 */
export function film({ draw, most }) {
  const button = h('button', { type: 'button' }, 'Play');
  const slider = h('input', { type: 'range', min: '0', max: '1000', value: '1000', id: 'film', 'aria-label': 'Time since the feed was opened' });
  const told = h('output', { for: 'film' });
  const el = h('div', { class: 'film' }, button, slider, told);
  let frame = 0;
  let began = 0;

  const minutes = () => (Number(slider.value) / 1000) * most();
  const spoken = (t) => (t >= 180 ? `${(t / 60).toFixed(1)} h` : t >= 10 ? `${Math.round(t)} min` : `${t.toFixed(1)} min`);
  function show() {
    const at = Number(slider.value);
    const text = spoken(minutes());
    write(told, text);
    slider.setAttribute('aria-valuetext', `after ${text}`);
    draw(at >= 1000 ? null : minutes());
  }
  function stop() {
    cancelAnimationFrame(frame);
    frame = 0;
    write(button, 'Play');
  }
  function step(time) {
    const share = (time - began) / RUNS;
    slider.value = String(Math.min(1000, Math.round(share * 1000)));
    show();
    if (share >= 1) stop();
    else frame = requestAnimationFrame(step);
  }
  button.addEventListener('click', () => {
    if (frame) { stop(); return; }
    const from = Number(slider.value) >= 1000 ? 0 : Number(slider.value) / 1000;
    // Who wants things to stay still gets the film in six steps, one a tap.
    if (still()) {
      slider.value = String(from >= 0.99 ? 0 : Math.min(1000, Math.ceil((from + 0.01) * 6) * (1000 / 6)));
      show();
      return;
    }
    write(button, 'Pause');
    frame = requestAnimationFrame((time) => { began = time - from * RUNS; step(time); });
  });
  slider.addEventListener('input', () => { stop(); show(); });
  return { el, show, stop, atEnd: () => Number(slider.value) >= 1000, toEnd() { stop(); slider.value = '1000'; show(); } };
}
