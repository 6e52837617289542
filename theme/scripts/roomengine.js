// @ts-check
// The page's side of the fitting room's worker: questions with promised answers, of drawings only the newest, and a word
// when something takes long. A worker that is stopped takes its file with it. It knows nothing of what is drawn.

import { listed, said } from './roomsaid.js';

/** @typedef {import('./roomworker.js').Frame} Frame */
/** @typedef {import('./roomworker.js').Report} Report */
/** @typedef {{ settle: (answer: any) => void, refuse: (error: Error) => void }} Waiting */

/** How long, in ms, nothing may come back before the reader is asked. */
const LONG = 4000;

/** The engine could not be started, or a reader stopped it. */
export class Gone extends Error {
  stopped = false;
}

export class RoomEngine {
  /** @type {Worker | null} */
  #worker = null;
  #last = 0;
  /** @type {Map<number, Waiting>} */
  #waiting = new Map();
  #script;
  #module;
  #slow;
  #timer = 0;
  /** @type {{ args: unknown[], spent: ArrayBuffer[], done: Waiting } | null} the drawing that waits for the one under way */
  #next = null;
  #drawing = false;

  /**
   * @param {string} script address of the worker
   * @param {string} module address of its WebAssembly
   * @param {(slow: boolean) => void} slow told when an answer is long in coming, and when it came
   */
  constructor(script, module, slow) {
    this.#script = script;
    this.#module = module;
    this.#slow = slow;
  }

  /** @param {string} name @param {unknown[]} args @returns {Promise<any>} refused with the engine's words */
  call(name, ...args) { return this.#post(name, args, []); }

  /** @param {string} name @param {unknown[]} args @param {ArrayBuffer[]} given arrays that go over, uncopied @returns {Promise<any>} */
  #post(name, args, given) {
    return new Promise((settle, refuse) => {
      const id = ++this.#last;
      this.#waiting.set(id, { settle, refuse });
      this.#watch();
      (this.#worker ??= this.#start()).postMessage({ id, name, args }, given);
    });
  }

  /**
   * Asks for a drawing. One that was asked for before and has not begun is given up: null.
   * @param {ArrayBuffer[]} spent arrays to be filled again; they are taken out when the drawing begins
   * @param {unknown[]} args of frame in the worker, but for those
   * @returns {Promise<Frame | null>}
   */
  frame(spent, ...args) {
    return new Promise((settle, refuse) => {
      this.#next?.done.settle(null);
      this.#next = { args, spent, done: { settle, refuse } };
      if (!this.#drawing) void this.#draw();
    });
  }

  async #draw() {
    this.#drawing = true;
    for (let next = this.#next; next; next = this.#next) {
      this.#next = null;
      await this.#fill(next).then(next.done.settle, next.done.refuse);
    }
    this.#drawing = false;
  }

  /** @param {{ args: unknown[], spent: ArrayBuffer[] }} drawing */
  #fill({ args, spent }) {
    const given = spent.splice(0);
    return this.#post('frame', [...args, given], given);
  }

  /** Ends what is under way, and with it the file that was open. @param {boolean} wanted by a reader */
  stop(wanted = true) {
    this.#worker?.terminate();
    this.#worker = null;
    this.#next?.done.settle(null);
    this.#next = null;
    const lost = [...this.#waiting.values()];
    this.#waiting.clear();
    this.#watch();
    for (const { refuse } of lost) refuse(Object.assign(new Gone(), { stopped: wanted }));
  }

  #start() {
    const worker = new Worker(this.#script, { type: 'module' });
    worker.addEventListener('message', (/** @type {MessageEvent<Report>} */ { data }) => this.#hear(data));
    worker.addEventListener('error', () => this.stop(false));
    const id = ++this.#last;
    this.#waiting.set(id, { settle() {}, refuse() {} });
    worker.postMessage({ id, name: 'load', args: [this.#module, listed] });
    return worker;
  }

  /** @param {Report} report */
  #hear({ id, answer, error }) {
    if (error === '') return this.stop(false); // there is no engine: whoever asks again has a new one started
    const waiting = this.#waiting.get(id);
    this.#waiting.delete(id);
    this.#watch();
    if (error === undefined) waiting?.settle(answer);
    else waiting?.refuse(new Error(said(error)));
  }

  #watch() {
    window.clearTimeout(this.#timer);
    this.#slow(false);
    if (this.#waiting.size > 0) this.#timer = window.setTimeout(() => this.#slow(true), LONG);
  }
}
