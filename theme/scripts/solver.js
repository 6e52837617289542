// @ts-check
// Decides where a plate's question is answered: here when that is quick, in the worker when it takes long, and meanwhile
// here with a rough answer if the calculator has one. A newer question ends an older one. It knows no markup but the bar.

import { work } from './long.js';
import { progress } from './progress.js';

/** @typedef {import('./readout.js').Answer} Answer */
/** @typedef {(answer: Answer) => void} Done */
/** @typedef {{ args: import('./asker.js').Request_, text: string }} First */

/** How long, in ms, the page may be held up. */
const BUDGET = 50;
/** Work that took the worker less, in ms, is tried here again next time. */
const QUICK = 25;
/** While a reader moves something the worker is left alone until there is a rest of so many ms. */
const REST = 80;
/** Work in one part cannot be stopped but with its worker: so many ms it may run on, and its answer is shown in passing. */
const PATIENCE = 1000;

export class Solver {
  #ask;
  #bar;
  #stopped;
  #slow = false;
  #late = 0; // solves in a row that were slow, although none could have been foreseen
  #timer = 0;
  /** @type {(() => void) | null} */
  #stop = null;
  #since = 0;
  /** @type {[state: string, base: string, done: Done] | null} the question that waits for the one under way */
  #next = null;
  #root;
  /** What the worker answered before the engine stood here. @type {First | null} */
  #first;

  /**
   * @param {HTMLElement} root a plate
   * @param {import('./asker.js').Asker} ask
   * @param {First | null} first
   * @param {() => void} stopped told when a reader stops the work
   * @param {AbortSignal} signal
   */
  constructor(root, ask, first, stopped, signal) {
    this.#ask = ask;
    this.#first = first;
    this.#stopped = stopped;
    this.#root = root;
    this.#bar = progress(root.querySelector('[data-say]'), () => this.#cancel(), signal);
    signal.addEventListener('abort', () => this.end());
  }

  /**
   * Calls done once, or twice when the first answer is a rough one; at once unless the work is long.
   * @param {string} state
   * @param {string} base
   * @param {Done} done
   */
  solve(state, base, done) {
    if (this.#stop && !this.#root.hasAttribute('data-staged') && performance.now() - this.#since < PATIENCE) {
      this.#next = [state, base, done];
      return;
    }
    this.end();
    const first = this.#take(state, base);
    if (first && !first.rough) return done(first);
    if (!this.#slow && !first) {
      const began = performance.now();
      const answer = this.#ask.attempt(state, base, BUDGET);
      this.#late = performance.now() - began > BUDGET ? this.#late + 1 : 0;
      this.#slow = answer === null || this.#late > 1; // once may be the machine's fault
      if (answer) return done(answer);
    }
    const rough = first ?? (this.#root.hasAttribute('data-staged') ? this.#ask.solve(state, base, true) : this.#ask.refusal(state, base));
    if (rough) done(rough);
    if (rough && !rough.rough) { // refused, or as little work as this
      this.#slow = rough.error !== undefined;
      return;
    }
    this.#timer = window.setTimeout(() => this.#hand(state, base, done), rough ? REST : 0);
  }

  /** The first answer, if it answers this question; it serves once. @param {string} state @param {string} base @returns {Answer | null} */
  #take(state, base) {
    const first = this.#first;
    this.#first = null;
    return first && JSON.stringify(first.args) === JSON.stringify(this.#ask.request(state, base)) ? JSON.parse(first.text) : null;
  }

  /**
   * What moving the first handle to a point would lead to, worked out beside the page.
   * @param {string} state @param {string} base @param {number} x @param {number} y
   * @returns {Promise<Answer | null>} null where no worker can be had
   */
  foresee(state, base, x, y) {
    const compares = this.#root.dataset.compares === 'true';
    return new Promise((resolve) => {
      work({ kind: 'move', args: [...this.#ask.request(state, base), 0, x, y], compares }, { done: (text) => resolve(JSON.parse(text)), failed: () => resolve(null) });
    });
  }

  /** Gives up what is under way. */
  end() {
    window.clearTimeout(this.#timer);
    this.#stop?.();
    this.#stop = this.#next = null;
    this.#bar.hide();
  }

  /** @param {string} state @param {string} base @param {Done} done */
  #hand(state, base, done) {
    this.#bar.show(0, 1);
    this.#since = performance.now();
    const settle = (/** @type {Answer} */ answer) => {
      const next = this.#next;
      this.#stop = null;
      this.end();
      done(answer);
      if (next) this.solve(...next);
    };
    this.#stop = work({ kind: 'solve', args: this.#ask.request(state, base) }, {
      progress: (parts, total) => this.#bar.show(parts, total),
      done: (text, ms) => {
        this.#slow = ms > QUICK;
        this.#late = 0;
        settle(JSON.parse(text));
      },
      failed: () => settle(this.#ask.solve(state, base)),
    });
  }

  #cancel() {
    this.end();
    this.#stopped();
  }

  /**
   * @param {string} state
   * @param {string} format
   * @returns {Promise<string>}
   */
  exportAs(state, format) {
    const here = () => this.#ask.exportAs(state, format);
    if (!this.#slow) return Promise.resolve(here());
    const [id] = this.#ask.request(state, '');
    return new Promise((resolve) => {
      work({ kind: 'export', args: [id, state, format] }, { done: resolve, failed: () => resolve(here()) });
    });
  }
}
