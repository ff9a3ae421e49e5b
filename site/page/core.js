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

/** Compiles the module as it comes. It is packed, so that it weighs the same whether or not its host compresses. */
async function compile() {
  const fetched = (/** @type {string} */ name) => fetch(new URL(name, import.meta.url));
  const packed = await fetched('bastwork-wasm_bg.bin');
  if (packed.ok && packed.body) {
    const module = packed.body.pipeThrough(new DecompressionStream('gzip'));
    return WebAssembly.compileStreaming(new Response(module, { headers: { 'content-type': 'application/wasm' } }));
  }
  // A page that is being written has the module as it was compiled.
  const plain = await fetched('bastwork-wasm_bg.wasm');
  if (!plain.ok) throw new Error(`${packed.url} is not there: ${packed.status}`);
  return WebAssembly.compile(await plain.arrayBuffer());
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
