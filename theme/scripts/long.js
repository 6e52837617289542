// @ts-check
// Hands long work to the one worker of the page, so that the page stays at hand, and brings its reports back: compiling
// the calculators is such work. It knows nothing of plates and nothing of what the texts mean.

import { compile } from './engine.js';

/** @typedef {import('./worker.js').Report} Report */
/** @typedef {import('./worker.js').Job} Order */
/** @template T @typedef {T extends unknown ? Omit<T, 'run'> : never} Unnumbered */
/**
 * @typedef {object} Listener
 * @property {(done: number, total: number) => void} [progress]
 * @property {(answer: string, ms: number) => void} done
 * @property {() => void} failed no worker can be had
 */
/** @typedef {{ order: Order, listener: Listener, whole: boolean }} Run a whole run cannot be stopped between two parts */

/** @type {Worker | null} */
let worker = null;
let last = 0;
/** @type {Map<number, Run>} */
const runs = new Map();

/**
 * @param {Unnumbered<Order>} order
 * @param {Listener} listener
 * @returns {() => void} stops the run; nothing is reported afterwards
 */
export function work(order, listener) {
  const run = ++last;
  const started = /** @type {Order} */ ({ ...order, run });
  runs.set(run, { order: started, listener, whole: order.kind !== 'solve' });
  try {
    worker ??= start();
    worker.postMessage(started);
  } catch {
    queueMicrotask(fail);
  }
  return () => stop(run);
}

/** @type {WebAssembly.Module | null} */
let module = null;
/** @type {((module: WebAssembly.Module | Promise<WebAssembly.Module>) => void)[]} those who wait for it */
let waiting = [];

/** @returns {Promise<WebAssembly.Module>} the calculators as the worker compiled them; compiled here where no worker can be had */
export function compiled() {
  if (module) return Promise.resolve(module);
  return new Promise((resolve) => {
    waiting.push(resolve);
    try {
      worker ??= start();
    } catch {
      fail();
    }
  });
}

/** @param {WebAssembly.Module | Promise<WebAssembly.Module>} made */
function give(made) {
  for (const resolve of waiting) resolve(made);
  waiting = [];
}

const address = () => document.body.dataset.calculators ?? '';

function start() {
  const fresh = new Worker(document.body.dataset.worker ?? '', { type: 'module' });
  fresh.addEventListener('message', (/** @type {MessageEvent<Report>} */ { data }) => hear(data));
  fresh.addEventListener('error', fail);
  fresh.postMessage({ kind: 'load', address: address(), module });
  return fresh;
}

/** @param {Report} report */
function hear(report) {
  if ('failed' in report) return fail();
  if ('module' in report) {
    module = report.module;
    return give(module);
  }
  const known = runs.get(report.run);
  if (!known) return;
  if ('answer' in report) {
    runs.delete(report.run);
    known.listener.done(report.answer, report.ms);
  } else {
    known.whole = report.total === 1;
    known.listener.progress?.(report.done, report.total);
  }
}

/** @param {number} run */
function stop(run) {
  const known = runs.get(run);
  runs.delete(run);
  if (!known || !worker) return;
  if (!known.whole) return worker.postMessage({ kind: 'cancel', run });
  worker.terminate(); // it would not hear before the end
  worker = null;
  if (runs.size + waiting.length > 0) worker = start();
  for (const { order } of runs.values()) worker?.postMessage(order);
}

function fail() {
  worker?.terminate();
  worker = null;
  if (waiting.length > 0) give(compile(address()));
  const lost = [...runs.values()];
  runs.clear();
  for (const { listener } of lost) listener.failed();
}
