// What the drawing board asks of the core: one board is kept, so that a line can be dragged on it.

/**
 * @param {any} core The core, ready.
 * @returns {(verb: string, given: any[]) => any}
 */
export function bench(core) {
  /** @type {any} */
  let board = null;

  /** The picture: points and triangles, which lines pull at, times and gel. */
  const picture = (one) => ({
    problems: [], points: one.points(), triangles: one.triangles(), sides: one.sides(), arrival: one.arrival(), gel: one.gel(), quick: one.quick(),
  });
  /** @type {Record<string, (...given: any[]) => any>} */
  const verbs = {
    put(plan, own) {
      board?.free();
      board = new core.Board(plan, own);
      const problems = board.problems();
      return problems.length ? { problems } : picture(board);
    },
    lines(lines) {
      const problems = board.set_lines(lines);
      return problems.length ? { problems } : picture(board);
    },
    drawn: () => board.drawn(),
    layouts: () => board.layouts(),
    /** What the marks of the front tell of the cloth; the part need not be drawn. */
    learn: (plan, own) => core.learn(plan, own),
    /** Picture and words of a plan, beside the one on the board. */
    both(plan, own) {
      const other = new core.Board(plan, own);
      try {
        return other.problems().length ? null : { found: picture(other), drawn: other.drawn() };
      } finally {
        other.free();
      }
    },
    file: (name, bytes, wish) => core.read_file(name, bytes, wish),
  };
  return (verb, given) => verbs[verb](...given);
}
