// Where the front was seen, as the plan keeps it: marks from the feed, places on the picture, and that the part was full; and in words.

const isPlace = (place) => Array.isArray(place) && place.length > 1 && place.every(Number.isFinite);

/** Marks of a plan, as they were noted. */
export const marksOf = (plan) => (Array.isArray(plan.fill?.front) ? plan.fill.front : []);

/** Those that lie on the picture, each with the word beside it. @param {any} plan @param {(min: number) => string} text */
export const placesOf = (plan, text) => marksOf(plan).filter((mark) => isPlace(mark?.at_mm) && Number.isFinite(mark.min)).map((mark) => ({ ...mark, text: `seen ${text(mark.min)}` }));

/** Where a mark is: 'At x 300, y 120 mm', '120 mm', 'Full'. */
export function whereOf(mark, lengths) {
  if (mark?.ended) return 'Full';
  if (isPlace(mark?.at_mm)) return `At ${lengths.place(mark.at_mm)}`;
  return Number.isFinite(mark?.mm) ? lengths.say(mark.mm) : 'No place';
}

/** A mark in words. @param {any} mark @param {any} lengths @param {(min: number) => string} text */
export const markWords = (mark, lengths, text) => `${whereOf(mark, lengths)} after ${Number.isFinite(mark?.min) ? text(mark.min) : 'no minute'}`;

/** Marks in the order of their minutes, each with its number in the plan. */
export const inOrder = (marks) => marks.map((mark, at) => ({ mark, at })).sort((a, b) => a.mark?.min - b.mark?.min);
