// @ts-check
// Runs in a worker of its own: compiles the calculators for itself and the page, does long solves part by part on an engine
// of its own, tells how far it is, and looks between two parts whether a run is still wanted. It knows no page.

import { compile, startEngine } from './engine.js';
import { turn } from './turn.js';

/** @typedef {import('./asker.js').Request_} Request_ */
/** @typedef {{ run: number, kind: 'solve', args: Request_ }} Solve */
/** A first answer, rough where there is one. @typedef {{ run: number, kind: 'glance', args: Request_ }} Glance */
/** What moving a handle would lead to, compared with the base or by itself. @typedef {{ run: number, kind: 'move', args: [...Request_, handle: number, x: number, y: number], compares: boolean }} Move */
/** @typedef {{ run: number, kind: 'export', args: [id: string, state: string, format: string] }} Export */
/** @typedef {Solve | Glance | Move | Export} Job */
/** @typedef {{ kind: 'load', address: string, module: WebAssembly.Module | null } | Job | { kind: 'cancel', run: number }} Order */
/** @typedef {{ failed: true } | { module: WebAssembly.Module } | { run: number, done: number, total: number } | { run: number, answer: string, ms: number }} Report */

/** How long, in ms, the worker computes between two looks at its messages. */
const SLICE = 25;

/** @type {Promise<import('./engine.js').Engine | null> | undefined} */
let loading;
/** @type {Job[]} */
let queue = [];
let busy = false;
/** What the engine has begun: asked again for another width, it need only draw again. */
let begun = '';

/** @param {Report} report */
const tell = (report) => self.postMessage(report);

self.addEventListener('message', (/** @type {MessageEvent<Order>} */ { data }) => {
  if (data.kind === 'load') loading = load(data.address, data.module);
  else if (data.kind === 'cancel') queue = queue.filter(({ run }) => run !== data.run);
  else queue.push(data);
  if (!busy) void work();
});

/** @param {string} address @param {WebAssembly.Module | null} module where the page has it already */
function load(address, module) {
  const compiled = module ? Promise.resolve(module) : compile(address);
  if (!module) compiled.then((made) => tell({ module: made }), () => {}); // the engine's failure is told
  return startEngine(() => compiled);
}

async function work() {
  busy = true;
  const engine = await loading;
  if (!engine) return tell({ failed: true });
  for (let [next] = queue; next; [next] = queue) {
    if (next.kind === 'solve') await solve(engine, next);
    else tell({ run: next.run, answer: atOnce(engine, next), ms: 0 });
    queue = queue.filter((order) => order !== next);
  }
  busy = false;
}

/** @param {import('./engine.js').Engine} engine @param {Glance | Move | Export} job */
function atOnce(engine, job) {
  if (job.kind === 'export') return engine.exportAs(...job.args);
  if (job.kind === 'glance') return engine.solve(...job.args, true);
  const [id, , base, ...rest] = job.args;
  const state = engine.drag(...job.args);
  return state.startsWith('{') ? state : engine.solve(id, state, job.compares ? base : state, rest[0], rest[1], rest[2], true);
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
  await turn();
  for (let done = 0; done < total && wanted();) {
    const until = performance.now() + SLICE;
    do done = Number(engine.step(id, 1)); while (done < total && performance.now() < until);
    tell({ run, done, total });
    await turn();
  }
  if (wanted()) tell({ run, answer: engine.finish(...args), ms: performance.now() - began });
}
