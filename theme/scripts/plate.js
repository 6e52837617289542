// @ts-check
// One live plate: a single state text, changed by inputs, handles and links, shown at most once a frame. The engine
// computes; this module only decides what is shown when. It knows no markup beyond the plate's own root.

import { asker } from './asker.js';
import { display } from './display.js';
import { addressWriter, pageOf, readLink, writeLink } from './link.js';
import { Solver } from './solver.js';
import * as words from '../words/en.json';

/** Stands for the field when a step is taken back or done again. */
const TRAVEL = '\u21b6';

export class Plate {
  #printed;
  #base;
  #state;
  /** @type {string | null} the state that the next frame will try, or that is being computed */
  #wanted = null;
  #from = '';
  #frame = 0;
  #rough = false;
  #display;
  #solver;
  #writeAddress;
  #said; // what is announced
  /** The last step that was kept. @type {import('./history.js').Step} */
  #was;
  /** Told of every edit that is kept: what stood before it, and its field. @type {(before: import('./history.js').Step, from: string) => void} */
  kept = () => {};

  /** @param {HTMLElement} root a [data-plate] @param {import('./engine.js').Engine} engine
   * @param {import('./solver.js').First | null} first answer, if it is known @param {AbortSignal} signal ends every listener */
  constructor(root, engine, first, signal) {
    this.root = root;
    this.ask = asker(root, engine);
    this.#printed = this.#base = this.#state = root.dataset.base ?? '';
    this.#was = this.step;
    this.#solver = new Solver(root, this.ask, first, () => this.#stopped(), signal);
    this.#writeAddress = addressWriter(signal);
    this.#said = root.querySelector('[data-verdict], [data-say]');
    this.#display = display(root, this, signal);
  }

  /** @returns {string} with the edit that waits for its frame */
  get state() { return this.#wanted ?? this.#state; }
  get step() { return { state: this.#state, base: this.#base }; }
  get #fragment() { return writeLink(this.root.id, this.#state, this.#base, this.#printed); }

  /** @returns {string} the address that opens the plate as it is; without its values when they do not fit */
  get link() { return pageOf(this.root) + this.#fragment.text; }
  get linkFits() { return this.#fragment.fits; }

  /** Changes the state at the next frame. @param {(state: string) => string} change @param {string} from the field that it comes from, if any */
  edit(change, from = '') {
    this.#said?.setAttribute('aria-live', 'polite');
    this.#wanted = change(this.state);
    this.#wait(true);
    this.#from = from;
    this.#frame ||= requestAnimationFrame(() => {
      this.#frame = 0;
      this.#keep(this.state, this.#from, true);
    });
  }

  /** Starts over: base and state become the same. @param {string} state */
  start(state) {
    const before = this.#base;
    this.#base = state;
    this.#display.forget();
    this.#keep(state, '', true, () => { this.#base = before; });
  }

  /** Goes to a step that was kept before. @param {import('./history.js').Step} step */
  go({ state, base }) {
    this.#base = base;
    this.#keep(state, TRAVEL, true);
  }

  reset() { this.start(this.#printed); this.#display.restart(); }
  /** Shows what the address asks for, or the plate as it is. */
  begin() { if (!this.openLink()) this.redraw(); }
  /** Shows the state once more: for another width, or after a preview. */
  redraw() { this.#keep(this.state, '', false); }
  /** What moving the first handle to a point would show in passing: all where the calculator compares by itself, else the drawing. @param {number} x @param {number} y */
  async preview(x, y) {
    const answer = await this.#solver.foresee(this.#state, this.#base, x, y);
    return () => { if (answer && !answer.error) this.#display[this.root.dataset.compares === 'true' ? 'show' : 'draw'](answer, ''); };
  }

  /** Holds announcements back while something moves. @param {boolean} moving */
  moving(moving) {
    this.root.toggleAttribute('data-moving', moving);
    this.#said?.setAttribute('aria-busy', String(moving));
  }
  /** The state after a handle was moved. @param {'drag' | 'nudge'} kind @param {string} state @param {number} handle @param {number} x @param {number} y */
  move(kind, state, handle, x, y) { return this.ask.move(kind, state, this.#base, handle, x, y); }

  /** What the drawing holds at a point, in words. @param {number} x @param {number} y */
  probe(x, y) { return this.ask.probe(this.#state, this.#base, x, y); }
  /** @param {string} format */
  exportAs(format) { return this.#solver.exportAs(this.#state, format); }

  /** Takes the state from the address. @returns {boolean} false when it says nothing about this plate */
  openLink() {
    const linked = readLink(location.hash, this.root.id, this.root === document.querySelector('[data-plate]'));
    if (linked === null) return false;
    const refused = () => {
      this.#base = this.#printed;
      this.#keep(this.#printed, '', false, () => {}, words.linkRefused);
    };
    if (linked === 'refused') refused();
    else {
      this.#base = linked.base ?? this.#printed;
      this.#keep(linked.state, '', false, refused);
    }
    return true;
  }

  /**
   * Tries a state. @param {string} text @param {string} from the field it comes from @param {boolean} address whether the
   * address follows @param {() => void} [refused] the last good state stays @param {string} [notice] a line for the reader
   */
  #keep(text, from, address, refused, notice = '') {
    this.#wanted = text;
    this.#wait(true);
    this.#solver.solve(text, this.#base, (answer) => {
      if (this.#wanted === text) this.#wanted = null;
      this.#wait(Boolean(answer.rough) || this.#wanted !== null);
      if (answer.error) return refused ? refused() : this.#display.refuse(answer.error);
      this.#rough = answer.rough;
      this.#display[answer.rough && answer.state === this.#state ? 'fill' : 'show'](answer, from);
      this.#state = answer.state;
      if (address && from !== TRAVEL && answer.state !== this.#was.state) this.kept(this.#was, from);
      this.#was = this.step;
      this.root.dataset.link = this.link;
      this.#display.tell(notice || (this.linkFits ? '' : words.linkTooLong));
      if (address) this.#writeAddress(this.#fragment.text);
    });
  }

  /** Says on the plate whether an answer is on its way. @param {boolean} waiting */
  #wait(waiting) { this.root.toggleAttribute('data-waiting', waiting); }

  #stopped() {
    this.#wanted = null;
    this.#wait(false);
    this.#display.tell(this.#rough ? words.stopped : words.stoppedWhole);
  }
}
