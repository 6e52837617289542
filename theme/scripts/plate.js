// @ts-check
// One live plate: a single state text, changed by inputs, handles and links. The calculators answer beside the page, and what is asked
// meanwhile adds to what waits; this module only decides what is shown when. It knows no markup beyond the plate's own root.

import { asker } from './asker.js';
import { display } from './display.js';
import { hush } from './hush.js';
import { addressWriter, linkOf, pageOf, writeLink } from './link.js';
import { follow, joined } from './question.js';
import { refusedLink, unreadLink } from './refusal.js';
import { Solver } from './solver.js';
import * as words from '../words/en.json';

/** @typedef {import('./question.js').Question} Question */
/** @typedef {import('./question.js').Wanted} Wanted */

/** Stand for the field when a step is taken back or done again, and when all is begun anew. */
const [TRAVEL, ANEW] = ['\u21b6', '\u21ba'];

export class Plate {
  #printed; #base; #state;
  /** @type {Question | null} the newest that has not been answered */
  #asked = null;
  #rough = false;
  /** Whether the drawing is shown in passing: of another state, on the sheet of what is wanted. */ passing = false;
  #display; #solver; #writeAddress;
  #said; #hush; // what is announced, and what holds it back
  /** The last step that was kept. @type {import('./history.js').Step} */
  #was;
  /** Told of every edit that is kept: what stood before it, and its field. @type {(before: import('./history.js').Step, from: string) => void} */
  kept = () => {};
  /** Told when something begins to move: what is kept from then on is a step of its own. */ begun = () => {};
  /** Told whether there are calculators. */ #alive = (/** @type {boolean} */ _) => {};

  /** @param {HTMLElement} root a [data-plate] @param {AbortSignal} signal ends every listener */
  constructor(root, signal) {
    this.root = root;
    this.ask = asker(root);
    this.#printed = this.#base = this.#state = root.dataset.base ?? '';
    this.#was = this.step;
    this.#solver = new Solver(root, this.ask.request, { stopped: () => this.#end(this.#rough ? words.stopped : words.stoppedWhole, true), failed: () => this.#end(words.engineFailed, false) }, signal);
    this.#writeAddress = addressWriter(signal);
    this.#said = root.querySelector('[data-verdict], [data-say]');
    this.#hush = hush(this.#said, () => root.matches('[data-moving], [data-waiting]'));
    this.#display = display(root, this, signal);
  }

  /** What is shown, or asked for, now: edits of it may follow. @returns {Wanted} */
  get wanted() { return this.#asked ?? { state: this.#state, edits: [] }; }
  /** What is shown. */ get step() { return { state: this.#state, base: this.#base }; }
  get #fragment() { return writeLink(this.root.id, this.#state, this.#base, this.#printed); }

  /** @returns {string} the address that opens the plate as it is; without its values when they do not fit */
  get link() { return pageOf(this.root) + this.#fragment.text; }
  get linkFits() { return this.#fragment.fits; }

  /** @param {import('./edits.js').Edit} edit @param {string} [from] the field that it comes from @param {Wanted} [of] what a gesture began with; else what is wanted now */
  edit(edit, from = '', of = this.wanted) {
    this.#said?.setAttribute('aria-live', 'polite');
    this.#try({ state: of.state, edits: joined(of.edits, edit), base: this.#base, from, address: true, held: this.root.hasAttribute('data-moving') });
  }

  /** Starts over: base and state become the same. @param {string} state */
  start(state) {
    const before = this.#base;
    this.#base = state;
    this.#display.forget();
    this.#try({ state, edits: [], base: state, from: ANEW, address: true, refused: () => { this.#base = before; } });
  }

  /** Goes to a step that was kept before. @param {import('./history.js').Step} step */
  go({ state, base }) {
    this.#base = base;
    this.#try({ state, edits: [], base, from: TRAVEL, address: true });
  }

  reset() { this.start(this.#printed); this.#display.restart(); }
  /** Shows what the address asks for, or the plate as it is. @returns {Promise<boolean>} whether there are calculators */
  begin() {
    if (!this.openLink()) this.redraw();
    this.#was = { state: this.wanted.state, base: this.#base };
    return new Promise((resolve) => { this.#alive = resolve; });
  }

  /** Shows what is wanted once more: for another width, after a preview, or on a sheet of its own after a movement. */
  redraw() { this.#try({ ...(this.#asked ?? { ...this.step, edits: [], from: '', address: false }), held: false }); }

  /** Shows an answer in passing: all of it, or the drawing alone. @param {import('./readout.js').Answer} answer @param {boolean} all */
  pass(answer, all) { this.passing = true; this.#display[all ? 'show' : 'draw'](answer, ''); }

  /** Announcements wait meanwhile. @param {boolean} moving */
  moving(moving) {
    this.root.toggleAttribute('data-moving', moving);
    if (moving) this.begun(); else this.redraw();
  }

  /** Takes the state from the address. @returns {boolean} false when it says nothing about this plate */
  openLink() {
    const linked = linkOf(this.root);
    if (linked === null) return false;
    const printed = { state: this.#printed, edits: [], base: this.#printed, from: '', address: false };
    const instead = (/** @type {string} */ notice) => {
      this.#base = this.#printed;
      this.#try({ ...printed, notice });
    };
    if (typeof linked === 'string') instead(unreadLink(linked, this.root.id));
    else {
      this.#base = linked.base ?? this.#printed;
      this.#try({ ...printed, state: linked.state, base: this.#base, refused: (why) => instead(refusedLink(why)) });
    }
    return true;
  }

  /** @param {Question} question */
  #try(question) {
    this.#asked = question;
    this.#wait(true);
    this.#solver.solve(question, (answer) => this.#take(question, answer));
  }

  /** @param {Question} question @param {import('./readout.js').Answer} answer */
  #take(question, answer) {
    const { from, address, refused, notice } = question;
    if (this.#asked === question) this.#asked = null;
    this.#wait(Boolean(answer.rough) || this.#asked !== null);
    this.#alive(true);
    if (answer.error) return refused ? refused(answer.error) : this.#display.refuse(answer.error);
    if (this.#asked) follow(this.#asked, question, answer.state);
    [this.#rough, this.passing] = [answer.rough, false];
    this.#display[answer.rough && answer.state === this.#state ? 'fill' : 'show'](answer, from);
    this.#state = answer.state;
    if (address && from !== TRAVEL && answer.state !== this.#was.state) this.kept(this.#was, from);
    this.#was = { state: answer.state, base: question.base }; // not what is wanted by now
    this.root.dataset.link = this.link;
    this.#display.tell(notice || (this.linkFits ? '' : words.linkTooLong));
    if (address) this.#writeAddress(this.#fragment.text);
  }

  /** Says on the plate whether an answer is on its way, and whether the address is to follow. @param {boolean} waiting */
  #wait(waiting) { if (waiting) this.root.dataset.waiting = this.#asked?.address ? 'address' : ''; else delete this.root.dataset.waiting; this.#hush(); }

  /** Nothing is asked any longer. @param {string} text for the reader @param {boolean} alive whether there are calculators */
  #end(text, alive) {
    this.#asked = null;
    this.#wait(false);
    this.#display.tell(text);
    this.#alive(alive);
  }
}
