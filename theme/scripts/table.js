// @ts-check
// One input table being edited: its rows as typed, what can be undone, which part of a long table is shown. The rows go
// to the plate as part of its state; what is refused stays here, marked, until it is mended. It draws nothing itself.

import { setting } from './inputs.js';
import { moveByKey } from './tablekeys.js';
import { exchange } from './tablefile.js';
import { Grid } from './grid.js';
import * as words from '../words/en.json';
import { SHOWN, showTools } from './tabletools.js';
import { write } from './readout.js';

/** @typedef {string[][]} Rows never changed, only replaced */
const UNDONE = 50;

export class Table {
  /** @type {Rows} */
  rows = [];
  /** @type {Rows[]} */
  #undo = [];
  #good = '?'; // what the plate uses; no text yet
  #dirty = false;
  #first = 0;
  #row = -1;
  #plate;
  #grid;

  /**
   * @param {HTMLElement} box a [data-table]
   * @param {import('./plate.js').Plate} plate
   * @param {AbortSignal} signal
   */
  constructor(box, plate, signal) {
    this.box = box;
    this.id = box.dataset.table ?? '';
    this.#plate = plate;
    this.#grid = new Grid(box);
    box.querySelector('[data-table-tools]')?.removeAttribute('hidden');
    box.querySelector('.plate-table-left')?.remove();
    const { body } = this.#grid;
    body.addEventListener('change', ({ target }) => this.#typed(target), { signal });
    body.addEventListener('focusin', ({ target }) => {
      this.#row = this.placeOf(target).row;
      this.#tools();
    }, { signal });
    body.addEventListener('keydown', (event) => moveByKey(event, this), { signal });
    box.addEventListener('click', ({ target }) => this.#press(target instanceof HTMLElement ? target.dataset.do : ''), { signal });
    exchange(this, plate, signal);
  }

  get columns() { return this.#grid.columns; }

  /** @param {string | import('./readout.js').Refusal} what a line for the reader, or what the engine refuses */
  say(what) { write(this.box.querySelector('[data-table-status]'), typeof what === 'string' ? what : this.#grid.sentence(what)); }

  /** Takes the rows in use: after an edit of its own, or when they are new. @param {string} text @param {boolean} own @param {boolean} [waits] newer ones wait for their answer, and stand */
  take(text, own, waits = false) {
    if (text === this.#good && !own) return;
    if (this.#dirty && !own) this.#remember();
    this.#good = text;
    if (waits) return;
    this.#dirty = false;
    this.#replace(text === '' ? [] : text.split('\n').map((line) => line.split('\t')));
  }

  /** Drops what was refused; it can still be undone to. */
  forget() {
    if (this.#dirty) this.#remember(), this.take(this.#good, true);
  }

  /** @param {import('./readout.js').Refusal} refusal */
  refuse(refusal) {
    this.#dirty = true;
    if (refusal.row > 0) this.#show(refusal.row - 1);
    this.#grid.refuse(refusal, this.#first);
    this.say(words.tableKept);
  }

  /** Asks the plate to use other rows. @param {Rows} rows */
  change(rows) {
    this.say(''); // of the edit before
    this.#remember();
    this.#replace(rows);
    const escape = (/** @type {string} */ cell) => cell.replace(/[%,;]/g, encodeURIComponent);
    const text = rows.map((row) => row.map(escape).join(',')).join(';');
    this.#plate.edit(setting(this.id, text), this.id);
  }

  undo() {
    const before = this.#undo.at(-1);
    if (before) this.change(before);
    this.#undo = this.#undo.slice(0, -2);
    this.#tools();
  }

  /** Puts the focus into a cell, wherever in the table it is. @param {number} row @param {number} column */
  focus(row, column) {
    if (row < 0 || row >= this.rows.length) return;
    this.#show(row);
    this.#grid.focus(row - this.#first, column);
  }

  /** Where a control of the table stands. @param {EventTarget | null} target */
  placeOf(target) { return this.#grid.placeOf(target, this.#first); }

  #remember() { this.#undo = [...this.#undo.slice(1 - UNDONE), this.rows]; }

  /** @param {Rows} rows */
  #replace(rows) {
    this.rows = rows;
    if (this.#first >= rows.length) this.#first = 0;
    this.#grid.clear();
    this.#grid.draw(rows.slice(this.#first, this.#first + SHOWN), this.#first);
    this.#tools();
  }

  /** @param {EventTarget | null} target */
  #typed(target) {
    if (!(target instanceof HTMLInputElement)) return;
    const { row, column } = this.placeOf(target);
    this.change(this.rows.map((cells, i) => (i === row ? cells.with(column, target.value) : cells)));
  }

  /** @param {string | undefined} what */
  #press(what) {
    const at = Math.min(this.#row < 0 ? Infinity : this.#row, this.rows.length - 1);
    if (what === 'add') {
      const fresh = this.rows[at] ?? this.columns.map(({ words }) => (words ? '' : '0'));
      this.change([...this.rows.slice(0, at + 1), fresh, ...this.rows.slice(at + 1)]);
      this.focus(at + 1, 0);
    } else if (what === 'remove' && at >= 0) {
      this.change(this.rows.filter((_, i) => i !== at));
    }
    if (what === 'undo') this.undo();
    if (what === 'earlier') this.#show(this.#first - SHOWN);
    if (what === 'later') this.#show(this.#first + SHOWN);
  }

  /** Brings a row into the part that is shown. @param {number} row */
  #show(row) {
    const first = Math.floor(Math.max(0, Math.min(row, this.rows.length - 1)) / SHOWN) * SHOWN;
    if (first === this.#first) return;
    this.#first = first;
    this.#replace(this.rows);
  }

  #tools() {
    showTools(this.box, { row: this.#row, first: this.#first, count: this.rows.length, undoable: this.#undo.length > 0 });
  }
}
