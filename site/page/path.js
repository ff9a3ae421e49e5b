// Reads and writes one place in a document by its path, such as `room.humidity_pct` or `stack.0.count`.

const steps = (path) => path.split('.');

/** The value at a path; undefined when there is none. */
export function get(document, path) {
  let here = document;
  for (const step of steps(path)) {
    if (here === null || typeof here !== 'object') return undefined;
    here = here[step];
  }
  return here;
}

/** Puts a value at a path and makes the groups on the way; undefined takes it away. */
export function put(document, path, value) {
  const way = steps(path);
  const last = way.pop();
  let here = document;
  for (const step of way) {
    if (here[step] === null || typeof here[step] !== 'object') {
      if (value === undefined) return;
      here[step] = {};
    }
    here = here[step];
  }
  if (value === undefined) delete here[last];
  else here[last] = value;
}

/** A copy that shares nothing with the original. */
export const copyOf = (document) => JSON.parse(JSON.stringify(document));
