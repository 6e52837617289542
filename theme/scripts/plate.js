// @ts-check
// One live plate: a single state text, changed by inputs, handles and links, shown at most once a frame. The engine
// computes; this module only decides what is shown when. It knows no markup beyond the plate's own root.

import { asker } from './asker.js';
import { draw } from './figure.js';
import { decorate, handles } from './handles.js';
import { inputs } from './inputs.js';
import { addressWriter, readLink, writeLink } from './link.js';
import { readout, write } from './readout.js';
import { strings } from './strings.js';
import { watchWidth } from './width.js';

/** @typedef {import('./readout.js').Answer} Answer */

export class Plate {
  #ask;
  #printed;
  #base;
  #state;
  /** @type {string | null} the state that the next frame will try */
  #wanted = null;
  #from = '';
  #frame = 0;
  #place;
  #form;
  #print;
  #writeAddress;

  /**
   * @param {HTMLElement} root a [data-plate]
   * @param {import('./engine.js').Engine} engine
   * @param {AbortSignal} signal ends every listener
   */
  constructor(root, engine, signal) {
    this.root = root;
    this.#ask = asker(root, engine);
    this.#printed = this.#base = this.#state = root.dataset.base ?? '';
    this.#place = /** @type {HTMLElement | null} */ (root.querySelector('[data-figure]'));
    this.#print = readout(root);
    this.#form = inputs(root, this, signal);
    this.#writeAddress = addressWriter(signal);
    if (this.#place) {
      handles(this.#place, this, signal);
      watchWidth(this.#place, () => this.#keep(this.#state, '', false), signal);
    }
    if (!this.openLink()) this.#keep(this.#printed, '', false);
  }

  /** @returns {string} with the edit that waits for its frame */
  get state() { return this.#wanted ?? this.#state; }

  /** @returns {string} the address that opens the plate as it is */
  get link() { return location.href.split('#')[0] + writeLink(this.root.id, this.#state, this.#base, this.#printed); }

  /**
   * Changes the state at the next frame.
   * @param {(state: string) => string} change
   * @param {string} from the field that the change comes from, if any
   */
  edit(change, from = '') {
    this.root.querySelector('[data-say]')?.setAttribute('aria-live', 'polite');
    this.#wanted = change(this.state);
    this.#from = from;
    this.#frame ||= requestAnimationFrame(() => {
      this.#frame = 0;
      const text = this.state;
      this.#wanted = null;
      this.#keep(text, this.#from, true);
    });
  }

  /** Starts over: base and state become the same. @param {string} state */
  start(state) {
    const before = this.#base;
    this.#base = state;
    this.#wanted = null;
    if (!this.#keep(state, '', true)) this.#base = before;
  }

  reset() {
    this.start(this.#printed);
    this.#form.restart();
  }

  /** Shows a state that is no error, without keeping it. @param {string} state */
  preview(state) { this.#show(this.#ask.solve(state, this.#base), ''); }

  /** Holds announcements back while something moves. @param {boolean} moving */
  moving(moving) {
    this.root.toggleAttribute('data-moving', moving);
    this.root.querySelector('[data-say]')?.setAttribute('aria-busy', String(moving));
  }

  /** The state after a handle was moved. @param {'drag' | 'nudge'} kind @param {string} state @param {number} handle @param {number} x @param {number} y */
  move(kind, state, handle, x, y) { return this.#ask.move(kind, state, this.#base, handle, x, y); }

  /** @param {string} format */
  exportAs(format) { return this.#ask.exportAs(this.#state, format); }

  /** Takes the state from the address. @returns {boolean} false when it says nothing about this plate */
  openLink() {
    const first = this.root === document.querySelector('[data-plate]');
    const linked = readLink(location.hash, this.root.id, first);
    if (linked === null) return false;
    this.#wanted = null;
    this.#base = linked === 'refused' ? this.#printed : linked.base ?? this.#printed;
    if (linked !== 'refused' && this.#keep(linked.state, '', false)) return true;
    this.#base = this.#printed;
    this.#keep(this.#printed, '', false);
    this.#tell(strings.linkRefused);
    return true;
  }

  /**
   * @param {string} text a state
   * @param {string} from the field it comes from
   * @param {boolean} address whether the address follows
   * @returns {boolean} false when it is refused; the last good state stays
   */
  #keep(text, from, address) {
    const answer = this.#ask.solve(text, this.#base);
    if (answer.error) {
      if (!this.#form.refuse(answer.error)) this.#tell(strings.refused(answer.error.field, answer.error.text));
      return false;
    }
    this.#tell('');
    this.#state = answer.state;
    this.#show(answer, from);
    this.root.dataset.link = this.link;
    if (address) this.#writeAddress(this.link);
    return true;
  }

  /** @param {Answer} answer @param {string} from */
  #show(answer, from) {
    if (answer.error) return;
    this.#print(answer);
    this.#form.write(answer.fields, from);
    const drawing = this.#place && draw(this.#place, answer.figure);
    if (drawing) decorate(drawing, answer.handles);
  }

  /** @param {string} text a line for the reader; none when empty */
  #tell(text) {
    const notice = /** @type {HTMLElement | null} */ (this.root.querySelector('[data-notice]'));
    write(notice, text);
    notice?.toggleAttribute('hidden', text === '');
  }
}
