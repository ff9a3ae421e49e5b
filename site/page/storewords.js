// The sentences of the store: where plans live, what had no room, what was kept beside.

export const where = 'Your plans live in this browser on this device and nowhere else. Some phone browsers erase what a page keeps after a week without a visit, and a copy of the page on the home screen may start empty. Export everything as a file to be sure of it.';

export const memory = 'This browser keeps nothing for this page: its storage is switched off, or the window is private. Everything works, but plans last only until you close the page. Export them as a file before you go.';

export const full = 'This browser has no room left for your plans: the last changes last only until you close the page. Export everything as a file, then delete plans you no longer need.';

export const newer = 'Something here was saved by a newer Bastwork and is left as it is. Load the newest page to open it.';

export const ownJoined = 'Your shelf was changed in another tab too: the entries of both are kept.';

/** @param {number} count */
export function setAside(count) {
  return count === 1
    ? 'Something saved here cannot be read. It is set aside as it is, not deleted: export everything to get its text.'
    : `${count} things saved here cannot be read. They are set aside as they are, not deleted: export everything to get their text.`;
}

/** @param {string} name */
export function beside(name) {
  return `This plan was changed in another tab too. Both are kept: what you have here is now "${name}".`;
}

/** @param {number | null} days */
export function backup(days) {
  return days === null
    ? 'There is no backup of your plans yet: they live only in this browser. Export everything as a file when it suits you.'
    : `Your last backup is ${days} days old and something has changed since. Export everything as a file when it suits you.`;
}

/** @param {string} name @param {boolean} kept */
export function removed(name, kept) {
  return kept
    ? `"${name}" is deleted. It can be brought back until you delete another plan, for 30 days.`
    : `"${name}" is deleted. It can be brought back until you close the page.`;
}

/** @param {unknown} plan */
export function nameOf(plan) {
  const name = /** @type {{ name?: unknown } | null} */ (plan)?.name;
  return typeof name === 'string' && name.trim() ? name.trim().slice(0, 200) : 'Unnamed part';
}

/**
 * A name that tells a copy apart from what is there.
 * @param {string} name
 * @param {{ name: string }[]} rows
 */
export function copyName(name, rows) {
  const plain = name.replace(/ \(copy(?: \d+)?\)$/, '');
  for (let count = 1; ; count += 1) {
    const copy = count === 1 ? `${plain} (copy)` : `${plain} (copy ${count})`;
    if (!rows.some((row) => row.name === copy)) return copy;
  }
}
