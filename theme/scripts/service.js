// @ts-check
// Answers what a page asks, on one engine: the newest question first, part by part, looking between two parts whether it is still
// wanted; whatever takes a moment is answered in between. It runs in a worker, or in a page that can have none, and knows no page.

import { drawing } from './drawn.js';
import { edited, foreseen } from './edits.js';
import { compile, startEngine } from './engine.js';
import { turn } from './turn.js';

/** @typedef {import('./engine.js').Engine} Engine */
/** @typedef {import('./asker.js').Request_} Request_ */
/** @typedef {import('./edits.js').Edit} Edit */
/** A rough answer comes first where a staged calculator takes long; held: drawn on the sheet of what was dragged. @typedef {{ run: number, kind: 'solve', args: Request_, edits: readonly Edit[], staged: boolean, held: boolean }} Solve */
/** What edits would lead to, roughly; alone: compared with nothing. @typedef {{ run: number, kind: 'foresee', args: Request_, edits: readonly Edit[], alone: boolean }} Foresee */
/** @typedef {{ run: number, kind: 'call', name: keyof Engine, args: unknown[] }} Call any other function of the engine */
/** @typedef {{ run: number, kind: 'ready' }} Ready */
/** What drawings say, from here on. @typedef {{ kind: 'words', lists: import('./drawn.js').Lists }} Words */
/** @typedef {Solve | Foresee | Call | Ready} Job */
/** @typedef {{ kind: 'load', address: string, module: WebAssembly.Module | null } | Words | Job | { kind: 'cancel', run: number }} Order */
/** More: a rough answer, the whole one is to come; module: the calculators stand ready. @typedef {{ failed: true } | { module: WebAssembly.Module } | { run: number, done: number, total: number } | { run: number, answer: string, more?: boolean }} Report */

/** After so long, in ms, the time that the parts took says how long the rest will take. */
const GLANCE = 8;
/** Parts that take less than so many ms together are asked for in greater numbers: to ask takes time too. */
const BRIEF = 2;
/** An answer that takes longer than so many ms is long: it may be given up between two parts. */
const LONG = 50;
/** While a reader moves something only rough answers are given, until there is a rest of so many ms. */
const REST = 80;
/** How long, in ms, long work goes on between two looks at what has been asked meanwhile. */
const SLICE = 25;

/**
 * @param {(report: Report) => void} tell
 * @returns {(order: Order) => void}
 */
export function service(tell) {
  /** @type {Promise<Engine | null>} */
  let loading = Promise.resolve(null);
  /** @type {Solve[]} */
  let queue = [];
  let busy = false;
  /** What the engine has solved last: asked again for another width, it need only draw again. */
  let solved = '';
  /** The staged calculators whose whole answer took long last time: they answer roughly at once. @type {Set<string>} */
  const long = new Set();
  let wake = () => {};

  const newest = () => queue.at(-1);
  const rest = () => new Promise((resolve) => {
    wake = () => resolve(null);
    setTimeout(wake, REST);
  });

  /** @param {Engine} engine @param {Solve} order @returns {Promise<boolean>} false when it was put off for a newer one, or is no longer wanted */
  const solve = async (engine, order) => {
    const { run, staged, held } = order;
    const args = edited(engine, order.args, order.edits);
    const [id] = args;
    const question = JSON.stringify(args.slice(0, 3));
    if (question !== solved) {
      solved = '';
      const first = engine.begin(...args);
      if (Number.isNaN(Number(first))) return answer(run, first); // refused
      const total = staged ? Number(first) : 0; // what has no stages is done with its answer: each question to the engine takes time of its own
      let [done, spent, parts] = [0, 0, 1];
      const go = (/** @type {() => boolean} */ enough) => {
        while (done < total && !enough()) {
          const began = performance.now();
          done = Number(engine.step(id, parts));
          const took = performance.now() - began;
          spent += took;
          if (took < BRIEF) parts *= 2;
        }
      };
      if (!long.has(id)) go(() => spent > GLANCE && (spent * total) / done > LONG);
      if (done < total) {
        long.add(id);
        tell({ run, answer: engine.solve(...args, true, held), more: true });
        await rest();
      }
      while (done < total && newest() === order) {
        const before = spent;
        go(() => spent > before + SLICE);
        tell({ run, done, total });
        await turn();
      }
      if (done < total) return false;
      if (spent < LONG / 2) long.delete(id);
      solved = question;
    }
    return answer(run, engine.finish(...args, false, held));
  };

  /** @param {number} run @param {string} text */
  const answer = (run, text) => {
    tell({ run, answer: text });
    return true;
  };

  const work = async () => {
    if (busy) return;
    busy = true;
    const engine = await loading;
    if (!engine) tell({ failed: true });
    for (let next = newest(); engine && next; next = newest()) {
      if (await solve(engine, next)) queue = queue.filter((order) => order !== next);
    }
    busy = false;
  };

  /** @param {Foresee | Call | Ready} job */
  const atOnce = async (job) => {
    const engine = await loading;
    if (!engine) return tell({ failed: true });
    tell({ run: job.run, answer: job.kind === 'ready' ? '' : job.kind === 'foresee' ? foreseen(engine, job) : call(engine, job) });
  };

  return (order) => {
    if (order.kind === 'load') {
      const compiled = order.module ? Promise.resolve(order.module) : compile(order.address);
      loading = startEngine(compiled).then(async (engine) => {
        tell({ module: await compiled });
        return engine;
      }).catch(() => null); // each plate then says that it has no calculator
      return;
    }
    if (order.kind === 'words') {
      loading = loading.then((engine) => {
        engine?.speak?.(drawing(order.lists)); // placement sheets are English, and their calculators say nothing else
        return engine;
      });
      return;
    }
    const failed = () => tell({ failed: true });
    if (order.kind === 'cancel') queue = queue.filter(({ run }) => run !== order.run);
    else if (order.kind !== 'solve') return void atOnce(order).catch(failed);
    else queue.push(order);
    wake();
    work().catch(failed);
  };
}

/** @param {Engine} engine @param {Call} job @returns {string} */
const call = (engine, { name, args }) => /** @type {(...args: unknown[]) => string} */ (engine[name])(...args);
