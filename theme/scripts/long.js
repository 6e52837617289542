// @ts-check
// Hands long work to the one worker of the page, so that the page stays at hand, and brings its reports back. It knows
// nothing of plates and nothing of what the texts mean.

/** @typedef {import('./worker.js').Report} Report */
/** @typedef {import('./worker.js').Solve | import('./worker.js').Export} Order */
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
 * @param {{ kind: 'solve', args: import('./asker.js').Request_ } | { kind: 'export', args: [id: string, state: string, format: string] }} order
 * @param {Listener} listener
 * @returns {() => void} stops the run; nothing is reported afterwards
 */
export function work(order, listener) {
  const run = ++last;
  const started = /** @type {Order} */ ({ ...order, run });
  runs.set(run, { order: started, listener, whole: order.kind === 'export' });
  try {
    worker ??= start();
    worker.postMessage(started);
  } catch {
    queueMicrotask(fail);
  }
  return () => stop(run);
}

function start() {
  const { worker: script = '', calculators: address = '' } = document.body.dataset;
  const fresh = new Worker(script, { type: 'module' });
  fresh.addEventListener('message', (/** @type {MessageEvent<Report>} */ { data }) => hear(data));
  fresh.addEventListener('error', fail);
  fresh.postMessage({ kind: 'load', address });
  return fresh;
}

/** @param {Report} report */
function hear(report) {
  if ('failed' in report) return fail();
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
  if (runs.size > 0) worker = start();
  for (const { order } of runs.values()) worker?.postMessage(order);
}

function fail() {
  worker?.terminate();
  worker = null;
  const lost = [...runs.values()];
  runs.clear();
  for (const { listener } of lost) listener.failed();
}
