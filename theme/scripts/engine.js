// @ts-check
// Compiles the WebAssembly module with all calculators and starts it. It knows nothing of pages beyond the address it is given, and
// nothing of what the texts mean.

import { idle } from './idle.js';

/**
 * The functions of wasm/main.go, and of wasm/sheet on the page of placement sheets. All texts; a refusal is JSON {"error":{…}}.
 * @typedef {object} Engine
 * @property {(id: string, state: string, base: string, width: number, prefix: string, units: string, rough?: boolean, held?: boolean) => string} solve held: on the sheet of what was dragged
 * @property {(id: string, state: string, base: string, width: number, prefix: string, units: string) => string} begin answers how many parts there are
 * @property {(id: string, parts: number) => string} step answers how many are done
 * @property {(id: string, state: string, base: string, width: number, prefix: string, units: string, rough?: boolean, held?: boolean) => string} finish answers as solve does
 * @property {(id: string, state: string, base: string, width: number, prefix: string, units: string, handle: number, px: number, py: number) => string} drag
 * @property {(id: string, state: string, base: string, width: number, prefix: string, units: string, handle: number, dx: number, dy: number) => string} nudge
 * @property {(id: string, state: string, base: string, width: number, prefix: string, units: string, px: number, py: number) => string} probe
 * @property {(id: string, table: string, text: string, labels: string) => string} table labels: what the page calls the columns, a line each
 * @property {(id: string, state: string, format: string) => string} exportAs
 * @property {(id: string, recipe: string, set: string, width: number, prefix: string) => string} fresh an exercise with the numbers of a set
 * @property {(words: (text: string) => string) => string} speak has drawings say their texts in these words
 * @property {(id: string, state: string, base: string, title: string) => string} entry answers an entry of a placement sheet
 * @property {(text: string, other: string) => string} sheet answers a placement sheet as it is shown, or two side by side
 * @property {(id: string, output: string, text: string, answer: string, tolerance: string, hints: string) => string} grade
 */

/** After the first answer and every eighth from there the engine's garbage is collected while the page rests; without that it would be in
    the midst of an answer. The first time takes some 30 ms, in which code runs that has not run before. */
const OFTEN = 8;

/** @param {Promise<WebAssembly.Module>} compiled @returns {Promise<Engine>} */
export async function startEngine(compiled) {
  const [module] = await Promise.all([compiled, import('./wasm_exec.js')]);
  const go = new Go();
  const instance = await WebAssembly.instantiate(module, go.importObject);
  const scope = /** @type {Record<string, unknown>} */ (/** @type {unknown} */ (globalThis));
  const api = await new Promise((resolve, reject) => {
    scope.centrodeReady = resolve;
    go.run(instance).then(() => reject(new Error('the program ended')), reject);
  });
  delete scope.centrodeReady;
  const { export: exportAs, tidy, ...others } = api;
  let answers = 0;
  const counted = (/** @type {(...args: unknown[]) => string} */ ask) => (/** @type {unknown[]} */ ...args) => {
    answers += 1;
    if (answers % OFTEN === 1) void idle().then(tidy);
    return ask(...args);
  };
  return { ...others, exportAs, solve: counted(api.solve), finish: counted(api.finish) };
}

/**
 * Streams where the server names the file's type, else reads it whole; what a reader waits for goes before it.
 * @param {string} address of the .wasm file
 * @returns {Promise<WebAssembly.Module>}
 */
export async function compile(address) {
  if (!address || typeof WebAssembly !== 'object') throw new Error('no calculators can be had');
  const response = await fetch(address, { priority: 'low' });
  if (!response.ok) throw new Error(`${response.status} for the calculators`);
  if (response.headers.get('content-type')?.startsWith('application/wasm')) return WebAssembly.compileStreaming(response);
  return WebAssembly.compile(await response.arrayBuffer());
}
