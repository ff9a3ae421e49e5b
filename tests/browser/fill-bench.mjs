// How long the drawing board takes in desktop Chromium, from one thousand triangles to fifty thousand. Run: node tests/browser/fill-bench.mjs
import { shop, ticket } from './ticket.mjs';

const desktop = { viewport: { width: 1280, height: 900 }, deviceScaleFactor: 1, hasTouch: false, isMobile: false };
const SIZES = [1_000, 3_000, 10_000, 20_000, 50_000];

/** Times everything that the board is asked for, on an L in so many triangles, and on the L that the board cuts itself. */
async function times(page, sizes) {
  return page.evaluate(async (counts) => {
    const { core, load } = await import(new URL('core.js', document.baseURI));
    await load();
    const plan = (shape) => ({
      format: 1, part: { shape }, stack: [{ fabric: 'flax_twill_300', count: 4 }], resin: 'infusion_epoxy_slow',
      room: { temperature_c: 20 }, bag: { pressure_mbar_abs: 20 },
      fill: { lines: line(0) },
    });
    // The feed along the left edge, a little longer or shorter as a finger drags its end.
    const line = (step) => [{ does: 'feed', points_mm: [[0, 0], [0, 600 - 10 * (step % 30)]] }];
    /** An L of cells, in the plane or rising from its feed [mm], taken by the board as it is. */
    const shell = (count, high = 0) => {
      const half = Math.max(2, Math.round(Math.sqrt(count / 6)));
      const places = new Map();
      const points = [];
      const triangles = [];
      const at = (i, j) => {
        const key = i * 10_000 + j;
        if (!places.has(key)) places.set(key, points.push([300 * i / half, 300 * j / half, (high * i) / (2 * half)]) - 1);
        return places.get(key);
      };
      for (let i = 0; i < 2 * half; i += 1) {
        for (let j = 0; j < 2 * half; j += 1) {
          if (i >= half && j >= half) continue;
          const [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
          triangles.push(...((i + j) % 2 ? [[a, b, c], [a, c, d]] : [[a, b, d], [b, c, d]]));
        }
      }
      return { form: 'shell', points_mm: points, triangles };
    };
    const took = (work) => {
      const from = performance.now();
      work();
      return performance.now() - from;
    };
    const least = (runs, work) => {
      let best = Infinity;
      for (let run = 0; run < runs; run += 1) best = Math.min(best, took(() => work(run)));
      return best;
    };
    const one = (shape, most) => {
      const document_ = plan(shape);
      let board = null;
      const put = least(3, () => { board?.free(); board = new core.Board(document_, null); });
      if (board.problems().length) throw new Error(JSON.stringify(board.problems()));
      const triangles = board.triangles().length / 3;
      const runs = triangles > 15_000 ? 3 : 8;
      const told = [];
      const drag = least(runs, (run) => { board.set_lines(line(run)); told.push(board.quick()?.time_text); });
      const map = least(runs, (run) => { board.set_lines(line(run + 1)); told.push(board.arrival().length); });
      const drawn = least(1, () => { told.push(board.drawn()?.answer); });
      const layouts = triangles < most ? took(() => { told.push(board.layouts()?.sentence); }) : null;
      board.free();
      if (told.some((part) => part === undefined)) throw new Error(`nothing told: ${JSON.stringify(told)}`);
      return { triangles, put, drag, map, drawn, layouts };
    };
    const cut = one({ form: 'ell', length_mm: 600, width_mm: 600, arm_mm: 300 }, 8000);
    const given = [];
    for (const count of counts) {
      given.push(one(shell(count), 8000));
      await new Promise((done) => { setTimeout(done); });
    }
    const raised = [3_000, 10_000].map((count) => one(shell(count, 400), 0));
    return { cut, given, raised };
  }, sizes);
}

/** The power by which times grow with triangles: the slope of logarithms. */
function power(rows, name) {
  const pairs = rows.map((row) => [Math.log(row.triangles), Math.log(row[name])]);
  const mean = (at) => pairs.reduce((sum, pair) => sum + pair[at], 0) / pairs.length;
  const [x, y] = [mean(0), mean(1)];
  return pairs.reduce((sum, [a, b]) => sum + (a - x) * (b - y), 0) / pairs.reduce((sum, [a]) => sum + (a - x) ** 2, 0);
}

const here = await shop();
try {
  const { context, page } = await ticket(here, desktop);
  const { cut, given, raised } = await times(page, SIZES);
  await context.close();
  const figure = (value) => (value === null ? '-' : value.toFixed(1)).padStart(9);
  console.log('least of a few runs, ms      triangles       put  drag one  drag map     drawn   layouts');
  for (const [name, row] of [['cut by the board', cut], ...given.map((row) => ['as given', row]), ...raised.map((row) => ['rising by 400 mm', row])]) {
    console.log(`${name.padEnd(28)} ${String(row.triangles).padStart(9)} ${['put', 'drag', 'map', 'drawn', 'layouts'].map((what) => figure(row[what])).join(' ')}`);
  }
  for (const name of ['drag', 'map']) console.log(`${name} grows as triangles to the power ${power(given, name).toFixed(2)}`);
} finally {
  await here.stop();
}
