// The sentences of the store: where plans live, what had no room, what was kept beside.

export const where = 'Your plans live in this browser on this device and nowhere else. Some phone browsers erase what a page keeps after a week without a visit, and a copy of the page on the home screen may start empty. Export everything as a file to be sure of it.';

export const memory = 'This browser keeps nothing for this page: its storage is switched off, or the window is private. Everything works, but plans last only until you close the page. Export them as a file before you go.';

export const full = 'This browser has no room left for your plans: the last changes last only until you close the page. Export everything as a file, then delete plans you no longer need.';

export const drops = 'This browser takes what is saved here and does not keep it: the last changes last only until you close the page. Export everything as a file before you go.';

export const unread = 'This browser does not let the page read what is kept here. Nothing of it is changed; what you type lasts only until you close the page. Export it as a file, then load the page again.';

export const newer = 'Something here was saved by a newer Bastwork and is left as it is. Load the newest page to open it.';

export const ownJoined = 'Your shelf was changed in another tab too: the entries of both are kept.';

/** @param {number} count */
export function setAside(count) {
  return count === 1
    ? 'Something saved here cannot be read. It is set aside as it is, not deleted: its text is in the list of plans.'
    : `${count} things saved here cannot be read. They are set aside as they are, not deleted: their text is in the list of plans.`;
}

/** Names told in one sentence; the others are counted. */
const few = 4;

/** @param {string[]} names */
export function named(names) {
  const shown = names.slice(0, few).map((name) => `"${name}"`);
  const more = names.length - shown.length;
  if (more > 0) shown.push(`${more} more`);
  return shown.length === 1 ? shown[0] : `${shown.slice(0, -1).join(', ')} and ${shown.at(-1)}`;
}

export const ownShelf = 'Your own shelf';

/** @param {string[]} names */
export function gone(names) {
  return `${named(names)} ${names.length === 1 ? 'is' : 'are'} no longer in this browser: something other than this page erased ${names.length === 1 ? 'it' : 'them'}. A file that you exported brings ${names.length === 1 ? 'it' : 'them'} back.`;
}

/** @param {string} name */
export function stays(name) {
  return `"${name}" could not be deleted: this browser does not let go of it. Load the page again and try once more.`;
}

/** @param {string} name @param {boolean} kept */
export function unshown(name, kept) {
  return `"${name}" holds something that this page cannot show. ${kept ? 'It is set aside as it is, in the list of plans.' : 'It stays where it is.'}`;
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
