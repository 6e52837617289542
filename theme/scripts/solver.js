// @ts-check
// Has a plate's questions answered, one at a time: what is asked meanwhile waits for the answer under way, or ends it where it is
// long. Of those that wait only the newest counts. It knows no markup but the bar.

import { work } from './calculators.js';
import { progress } from './progress.js';

/** @typedef {import('./readout.js').Answer} Answer */
/** @typedef {(answer: Answer) => void} Done */
/** @typedef {import('./question.js').Asked} Asked */

/** Work in one part cannot be stopped but with its worker: so many ms it may run on, and its answer is shown in passing. */
const PATIENCE = 1000;

export class Solver {
  #root;
  #request;
  #tell;
  #bar;
  /** @type {(() => void) | null} */
  #stop = null;
  #parts = false; // whether what is under way can be given up
  #since = 0;
  #awake = false; // before the first answer the calculators are still coming, and what is printed stands
  #timer = 0;
  /** @type {[question: Asked, done: Done] | null} */
  #next = null;

  /**
   * @param {HTMLElement} root a plate
   * @param {import('./asker.js').Asker['request']} request
   * @param {{ stopped: () => void, failed: () => void }} tell told when a reader stops the work, and when no calculators can be had
   * @param {AbortSignal} signal
   */
  constructor(root, request, tell, signal) {
    this.#root = root;
    this.#request = request;
    this.#tell = tell;
    this.#bar = progress(root.querySelector('[data-say]'), () => this.#cancel(), signal);
    signal.addEventListener('abort', () => this.end());
  }

  /** Calls done once, or twice when the first answer is a rough one. @param {Asked} question read when its turn comes @param {Done} done */
  solve(question, done) {
    this.#next = [question, done];
    if (!this.#stop || this.#parts) return this.#begin();
    this.#timer ||= window.setTimeout(() => this.#begin(), this.#since + PATIENCE - performance.now());
  }

  /** Gives up what is under way and what waits. */
  end() {
    window.clearTimeout(this.#timer);
    this.#timer = 0;
    this.#stop?.();
    this.#stop = this.#next = null;
    this.#bar.hide();
  }

  #begin() {
    const next = this.#next;
    this.end();
    if (!next) return;
    const [{ state, base, edits, held = false }, done] = next;
    this.#since = performance.now();
    this.#parts = false;
    if (this.#awake) this.#bar.show(0, 1);
    this.#stop = work({ kind: 'solve', args: this.#request(state, base), edits, held, staged: this.#root.hasAttribute('data-staged') }, {
      progress: (parts, total) => {
        this.#parts = true;
        if (this.#next) this.#begin();
        else this.#bar.show(parts, total);
      },
      done: (text) => this.#answered(JSON.parse(text), done),
      failed: () => {
        this.end();
        this.#tell.failed();
      },
    });
  }

  /** @param {Answer} answer @param {Done} done */
  #answered(answer, done) {
    this.#awake = true;
    if (answer.rough && !this.#next) {
      this.#parts = true;
      return done(answer);
    }
    const next = this.#next;
    this.end();
    this.#next = next;
    done(answer);
    if (this.#next) this.#begin();
  }

  #cancel() {
    this.end();
    this.#tell.stopped();
  }
}
