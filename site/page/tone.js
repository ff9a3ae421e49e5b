// A short tone when a time is up. Browsers allow it only on a page that somebody has tapped.

/** Three beeps: when each begins [s], how high [Hz]. */
const BEEPS = [[0, 660], [0.28, 660], [0.56, 880]];
const LONG = 0.2;
const LOUD = 0.35;

/** @type {AudioContext | null} */
let speaker = null;

/** Readies the speaker; from a tap only. */
export function make() {
  try {
    speaker ??= new AudioContext();
    void speaker.resume().catch(() => {});
  } catch {
    // A device without sound: the line at the foot tells.
  }
}

/** From the next tap or key on, the page may sound; at once where one has been. */
export function unlocked() {
  if (navigator.userActivation?.hasBeenActive) make();
  for (const event of ['pointerdown', 'keydown']) window.addEventListener(event, make, { once: true, passive: true });
}

/** @returns {boolean} Whether it is heard, as far as the browser tells. */
export function ring() {
  if (!speaker || speaker.state === 'closed') return false;
  void speaker.resume().catch(() => {});
  for (const [after, pitch] of BEEPS) {
    const at = speaker.currentTime + 0.02 + after;
    const [tone, gain] = [speaker.createOscillator(), speaker.createGain()];
    tone.frequency.value = pitch;
    gain.gain.setValueAtTime(0, at);
    gain.gain.linearRampToValueAtTime(LOUD, at + 0.02);
    gain.gain.setValueAtTime(LOUD, at + LONG - 0.04);
    gain.gain.linearRampToValueAtTime(0, at + LONG);
    tone.connect(gain).connect(speaker.destination);
    tone.start(at);
    tone.stop(at + LONG);
  }
  return speaker.state === 'running';
}
