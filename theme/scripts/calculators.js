// @ts-check
// Asks the calculators, which run in the one worker of the page, and brings their answers. Where no worker can be had they run
// in the page. It knows nothing of plates and nothing of what the texts mean.

import { hired, toLoad } from './hired.js';
import { spoken } from './spoken.js';

/** @typedef {import('./service.js').Report} Report */
/** @typedef {import('./service.js').Job} Job */
/** @typedef {import('./service.js').Order} Order */
/** @typedef {import('./engine.js').Engine} Engine */
/** @template T @typedef {T extends unknown ? Omit<T, 'run'> : never} Unnumbered */
/**
 * @typedef {object} Listener
 * @property {(done: number, total: number) => void} [progress] of work that can be given up
 * @property {(answer: string) => void} done told twice where a rough answer comes first
 * @property {() => void} failed no calculators can be had
 */
/** @typedef {{ order: Job, listener: Listener, whole: boolean }} Run a whole run cannot be stopped between two parts */
/** @typedef {{ post: (order: Order) => void, end: (() => void) | null }} Place where the calculators run; the page itself does not end */

/** @type {Place | null} */
let place = null;
let last = 0;
/** @type {Map<number, Run>} */
const runs = new Map();
/** @type {WebAssembly.Module | null} as the first worker compiled it */
let module = null;
let ready = false; // whether the calculators stand at the place, or are still on their way there

/**
 * @param {Unnumbered<Job>} order
 * @param {Listener} listener
 * @returns {() => void} stops the run; nothing is reported afterwards
 */
export function work(order, listener) {
  const run = ++last;
  const numbered = /** @type {Job} */ ({ ...order, run });
  runs.set(run, { order: numbered, listener, whole: true });
  if (place) place.post(numbered);
  else open(anywhere());
  return () => stop(run);
}

/**
 * Asks the engine for one of its functions.
 * @template {keyof Engine} K
 * @param {K} name
 * @param {Parameters<Engine[K]>} args
 * @returns {Promise<string>} broken when no calculators can be had
 */
export const ask = (name, ...args) => once({ kind: 'call', name, args });

/** @typedef {typeof ask} Ask */

/** @returns {Promise<Ask | null>} null when no calculators can be had */
export const whenReady = () => once({ kind: 'ready' }).then(() => ask, () => null);

/** @param {Unnumbered<Job>} order @returns {Promise<string>} */
const once = (order) => new Promise((resolve, reject) => {
  work(order, { done: resolve, failed: () => reject(new Error('no calculators can be had')) });
});

/** What foreseeing answers; empty when no calculators can be had. @param {Omit<import('./service.js').Foresee, 'run' | 'kind'>} what */
export const foresee = (what) => once({ kind: 'foresee', ...what }).catch(() => ''); // whoever asks in earnest is told

/** Begins at a place, with all that is asked. @param {Place} at */
function open(at) {
  place = at;
  const lists = spoken();
  if (lists) at.post({ kind: 'words', lists });
  for (const { order } of runs.values()) at.post(order);
}

/** @returns {Place} */
function anywhere() {
  ready = false;
  try {
    const { worker, heard } = hired(module);
    worker.onmessage = (/** @type {MessageEvent<Report>} */ { data }) => hear(data);
    worker.onerror = () => {
      worker.terminate();
      open(inPage());
    };
    heard.forEach(hear);
    return { post: (order) => worker.postMessage(order), end: () => worker.terminate() };
  } catch {
    return inPage();
  }
}

/** @returns {Place} */
function inPage() {
  const served = import('./service.js').then(({ service }) => {
    const give = service(hear);
    give(toLoad(module));
    return give;
  });
  return { post: (order) => void served.then((give) => give(order), fail), end: null };
}

/** @param {Report} report */
function hear(report) {
  if ('failed' in report) return fail();
  if ('module' in report) {
    [module, ready] = [report.module, true];
    return;
  }
  const known = runs.get(report.run);
  if (!known) return;
  if ('answer' in report) {
    if (report.more) known.whole = false;
    else runs.delete(report.run);
    known.listener.done(report.answer);
  } else {
    known.whole = false;
    known.listener.progress?.(report.done, report.total);
  }
}

/** @param {number} run */
function stop(run) {
  const known = runs.get(run);
  runs.delete(run);
  if (!known || !place) return;
  if (!known.whole || !ready || !place.end) return place.post({ kind: 'cancel', run });
  place.end(); // it would not hear before the end
  place = null;
  if (runs.size > 0) open(anywhere());
}

function fail() {
  place?.end?.();
  place = null;
  const lost = [...runs.values()];
  runs.clear();
  for (const { listener } of lost) listener.failed();
}
