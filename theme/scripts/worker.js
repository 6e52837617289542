// @ts-check
// Runs in a worker of its own: does long solves part by part on an engine of its own, tells how far it is, and looks
// between two parts whether a run is still wanted. It knows no page.

import { loadEngine } from './engine.js';

/** @typedef {import('./asker.js').Request_} Request_ */
/** @typedef {{ run: number, kind: 'solve', args: Request_ }} Solve */
/** @typedef {{ run: number, kind: 'export', args: [id: string, state: string, format: string] }} Export */
/** @typedef {{ kind: 'load', address: string } | Solve | Export | { kind: 'cancel', run: number }} Order */
/** @typedef {{ failed: true } | { run: number, done: number, total: number } | { run: number, answer: string, ms: number }} Report */

/** How long, in ms, the worker computes between two looks at its messages. */
const SLICE = 25;

/** @type {Promise<import('./engine.js').Engine | null> | undefined} */
let loading;
/** @type {(Solve | Export)[]} */
let queue = [];
let busy = false;
/** What the engine has begun: asked again for another width, it need only draw again. */
let begun = '';

/** @param {Report} report */
const tell = (report) => self.postMessage(report);

self.addEventListener('message', (/** @type {MessageEvent<Order>} */ { data }) => {
  if (data.kind === 'load') loading = loadEngine(data.address);
  else if (data.kind === 'cancel') queue = queue.filter(({ run }) => run !== data.run);
  else queue.push(data);
  if (!busy) void work();
});

async function work() {
  busy = true;
  const engine = await loading;
  if (!engine) return tell({ failed: true });
  for (let [next] = queue; next; [next] = queue) {
    if (next.kind === 'export') tell({ run: next.run, answer: engine.exportAs(...next.args), ms: 0 });
    else await solve(engine, next);
    queue = queue.filter((order) => order !== next);
  }
  busy = false;
}

/** @param {import('./engine.js').Engine} engine @param {Solve} order */
async function solve(engine, { run, args }) {
  const wanted = () => queue[0]?.run === run;
  const [id, state, base] = args;
  const question = JSON.stringify([id, state, base]);
  const began = performance.now();
  let total = 1;
  if (question !== begun) {
    const first = engine.begin(...args);
    total = Number(first);
    begun = Number.isNaN(total) ? '' : question;
    if (!begun) return tell({ run, answer: first, ms: performance.now() - began });
  }
  tell({ run, done: 0, total });
  await pause();
  for (let done = 0; done < total && wanted();) {
    const until = performance.now() + SLICE;
    do done = Number(engine.step(id, 1)); while (done < total && performance.now() < until);
    tell({ run, done, total });
    await pause();
  }
  if (wanted()) tell({ run, answer: engine.finish(...args), ms: performance.now() - began });
}

/** Lets messages in. A timer would wait longer each time. */
function pause() {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => resolve(undefined);
    port2.postMessage(null);
  });
}
