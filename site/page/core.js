// The one place that loads the core: a WebAssembly module, compiled once for the page and its workers.
//
// Everybody holds the same object `core`; its functions become those of a new module when one had to be thrown away.

/** The functions of the core, once `load` is done. @type {any} */
export const core = {};

/** @type {WebAssembly.Module | undefined} */
let compiled;
/** @type {Promise<void> | undefined} */
let loading;

/** Loads the core, once. */
export function load() {
  loading ??= use();
  return loading;
}

/** The compiled module, for a worker: there once `load` is done. */
export const compiledCore = () => compiled;

async function use(anew = '') {
  // Side by side: the module itself need not wait for its script.
  const [glue, module] = await Promise.all([import(`./bastwork-wasm.js${anew}`), compiled ?? compile()]);
  compiled = module;
  await glue.default({ module_or_path: module });
  Object.assign(core, glue);
  for (const [name, answer] of Object.entries(STOPPED)) {
    core[name] = (/** @type {any[]} */ ...given) => { try { return glue[name](...given); } catch { return begunAnew(answer(...given)); } };
  }
}

async function compile() {
  const link = new URL('bastwork-wasm_bg.wasm', import.meta.url);
  const answer = await fetch(link);
  if (!answer.ok) throw new Error(`${link} is not there: ${answer.status}`);
  // A host that does not know the kind of file leaves it to us to compile it when it is all here.
  const known = answer.headers.get('content-type')?.startsWith('application/wasm');
  return known ? WebAssembly.compileStreaming(answer) : WebAssembly.compile(await answer.arrayBuffer());
}

const stopped = 'Working this plan out stopped half way. The plan is kept: change what you changed last.';
/** What is told instead of a sheet. */
export const halfWay = () => ({ stopped, problems: [{ field: '', sentence: stopped }] });
/** What is answered where the core stops half way. @type {Record<string, (...given: any[]) => any>} */
const STOPPED = { sheet: halfWay, read_entry: () => ({ problem: { field: '', sentence: stopped } }), show_entry: (_, value) => String(value), astray: () => [] };

/** @type {Promise<void> | undefined} */
let beginning;
let times = 0;

/** Throws the module away that stopped, and begins another. @param {any} answer */
function begunAnew(answer) {
  beginning ??= use(`?${times += 1}`).catch(() => {}).finally(() => { beginning = undefined; });
  return answer;
}
