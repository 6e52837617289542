// @ts-check
// Draws rows of a table as inputs and marks the one that is refused, reusing what stands there. It keeps no rows and
// reads no numbers.

import * as words from '../words/en.json';
import { refusal } from './refusal.js';
import { say } from './say.js';
import { write } from './readout.js';

/** @typedef {{ id: string, label: string, unit: string, words: boolean }} Column */

export class Grid {
  /** @type {HTMLTableRowElement | null} the row that says what is wrong */
  #complaint = null;
  #line;
  /** @type {readonly string[][]} the rows that stand there */
  #drawn = [];
  #first = 0;

  /** @param {HTMLElement} box a [data-table] */
  constructor(box) {
    const table = /** @type {HTMLTableElement} */ (box.querySelector('table'));
    this.body = table.tBodies[0] ?? table.createTBody();
    this.label = box.querySelector('summary')?.textContent ?? '';
    this.#line = /** @type {HTMLElement | null} */ (box.querySelector('[data-table-error]'));
    /** @type {Column[]} */
    this.columns = [...table.querySelectorAll('thead th')].slice(1).map((head) => ({
      id: head.getAttribute('data-column') ?? '',
      label: head.getAttribute('data-label') ?? '',
      unit: head.querySelector('.plate-unit')?.textContent ?? '',
      words: head.classList.contains('words'),
    }));
  }

  /** @param {readonly string[][]} rows @param {number} first how many rows come before them */
  draw(rows, first) {
    while (this.body.rows.length > rows.length) this.body.deleteRow(-1);
    const known = first === this.#first ? this.#drawn : [];
    [this.#drawn, this.#first] = [rows, first];
    rows.forEach((cells, i) => {
      if (known[i]?.length === cells.length && cells.every((text, j) => text === known[i]?.[j])) return;
      const row = this.body.rows[i] ?? this.body.insertRow();
      this.#head(row, String(first + i + 1));
      this.columns.forEach((column, j) => this.#cell(row, j + 1, column, cells[j] ?? '', first + i + 1));
    });
  }

  /** @param {HTMLTableRowElement} row @param {string} number */
  #head(row, number) {
    let head = row.cells[0];
    if (!head) {
      head = document.createElement('th');
      head.scope = 'row';
      row.append(head);
    }
    write(head, number);
  }

  /** What is being typed in a cell stays. @param {HTMLTableRowElement} row @param {number} at @param {Column} column @param {string} text @param {number} number */
  #cell(row, at, column, text, number) {
    const cell = row.cells[at] ?? row.insertCell();
    let input = cell.querySelector('input');
    if (!input) {
      input = document.createElement('input');
      input.type = 'text';
      input.autocomplete = 'off';
      input.spellcheck = false;
      if (column.words) cell.className = 'words';
      else input.inputMode = 'decimal';
      cell.replaceChildren(input);
    }
    const name = say(words.cell, { row: number, column: column.label + column.unit });
    if (input.getAttribute('aria-label') !== name) input.setAttribute('aria-label', name);
    const typing = input === document.activeElement && input.value !== input.defaultValue;
    if (input.defaultValue !== text) input.defaultValue = text;
    if (!typing && input.value !== text) input.value = text;
  }

  /** The rows without the one that complains. */
  get #rows() { return [...this.body.rows].filter((row) => row !== this.#complaint); }

  /** @param {EventTarget | null} target @param {number} first how many rows come before those shown @returns {{ row: number, column: number }} counted from 0 */
  placeOf(target, first) {
    const cell = target instanceof Element ? target.closest('td') : null;
    return { row: first + this.#rows.findIndex((row) => row === cell?.parentElement), column: (cell?.cellIndex ?? 0) - 1 };
  }

  /** @param {number} row among those shown @param {number} column */
  focus(row, column) {
    const input = this.#rows[row]?.cells[column + 1]?.querySelector('input');
    input?.focus();
    input?.select();
  }

  /** @param {import('./readout.js').Refusal} refused @param {number} first how many rows come before those shown */
  refuse(refused, first) {
    this.clear();
    const text = this.sentence(refused);
    const line = this.body.rows[refused.row - first - 1];
    if (refused.row > 0 && line) this.#mark(line, this.#columnOf(refused), text);
    else if (this.#line) {
      write(this.#line, text);
      this.#line.hidden = false;
    }
  }

  /** @param {import('./readout.js').Refusal} refusal @returns {number} -1 when it is about no column */
  #columnOf({ field }) { return this.columns.findIndex(({ id }) => id === field.split('.')[1]); }

  /** What is wrong, and where. @param {import('./readout.js').Refusal} refused */
  sentence(refused) {
    const { row, given, allowed } = refused;
    const label = this.columns[this.#columnOf(refused)]?.label;
    return refusal(row > 0 ? (label ? say(words.cell, { row, column: label }) : say(words.row, { row })) : label ?? this.label, given, allowed);
  }

  /** @param {HTMLTableRowElement} row @param {number} column -1: the whole row @param {string} text */
  #mark(row, column, text) {
    const id = `${this.#line?.id ?? ''}-row`;
    for (const input of row.querySelectorAll('input')) {
      if (column >= 0 && input.closest('td')?.cellIndex !== column + 1) continue;
      input.setAttribute('aria-invalid', 'true');
      input.setAttribute('aria-describedby', id);
    }
    this.#complaint = document.createElement('tr');
    this.#complaint.className = 'entry-complaint';
    const cell = this.#complaint.insertCell();
    cell.colSpan = this.columns.length + 1;
    cell.id = id;
    cell.setAttribute('role', 'alert');
    cell.className = 'plate-error';
    cell.lang = document.documentElement.lang; // the rows around it are in that of the calculators
    row.after(this.#complaint);
    cell.textContent = text;
  }

  /** Takes away what was said about a refusal. */
  clear() {
    this.#complaint?.remove();
    this.#complaint = null;
    for (const input of this.body.querySelectorAll('[aria-invalid]')) {
      input.removeAttribute('aria-invalid');
      input.removeAttribute('aria-describedby');
    }
    this.#line?.toggleAttribute('hidden', true);
  }
}
