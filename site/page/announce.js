// Tells a screen reader, once typing rests, what the ticket says now.

/** Milliseconds of quiet before it speaks. */
const REST = 1200;

/** @param {HTMLElement} place A polite live region. */
export function announcer(place) {
  let timer;
  let last = null;
  return ({ sheet, problems, stale }) => {
    clearTimeout(timer);
    timer = setTimeout(() => {
      const figures = sheet && !stale ? sheet.strip.map(({ label, text }) => `${label} ${text}`).join(', ') : '';
      const text = problems.length ? problems.map(({ sentence }) => sentence).join(' ') : `${figures}.`;
      if (last !== null && text !== last) place.textContent = text;
      last = text;
    }, REST);
  };
}
