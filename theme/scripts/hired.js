// @ts-check
// Hires the worker that the calculators run in. Who comes by a link with numbers of its own finds no answer to them in print: for such a
// reader it is hired in the head, a program of its own, and handed to the scripts that ask it.

/** @typedef {import('./service.js').Order} Order */
/** @typedef {import('./service.js').Report} Report */
/** @typedef {{ worker: Worker, heard: Report[] }} Hired with what it has said while nobody listened */

const scope = /** @type {{ hired?: Hired }} */ (/** @type {unknown} */ (globalThis));

/** What the calculators are begun with, wherever they run. @param {WebAssembly.Module | null} module as an earlier worker compiled it @returns {Order} */
export const toLoad = (module) => ({ kind: 'load', address: document.documentElement.dataset.calculators ?? '', module });

/** @param {WebAssembly.Module | null} module @returns {Hired} which loads the calculators */
function hire(module) {
  const worker = new Worker(document.documentElement.dataset.worker ?? '', { type: 'module' });
  worker.postMessage(toLoad(module));
  return { worker, heard: [] };
}

/** Hires one before anybody asks. */
export function hireAhead() {
  try {
    const { worker, heard } = scope.hired = hire(null);
    worker.onmessage = ({ data }) => heard.push(data);
    worker.onerror = () => { delete scope.hired; }; // who asks learns it from a worker of their own
  } catch {
    // No worker can be had, which is told to who asks.
  }
}

/** The one that was hired ahead, or a new one. @param {WebAssembly.Module | null} module @returns {Hired} */
export function hired(module) {
  const ready = scope.hired ?? hire(module);
  delete scope.hired;
  return ready;
}
