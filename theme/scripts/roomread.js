// @ts-check
// Prints what the engine of the fitting room answers: read-outs beside each other, lists, tables of values. Everything
// is text; nothing is computed here.

import { write } from './readout.js';
import { Gone } from './roomengine.js';
import { speak } from './roomsaid.js';

/** @typedef {{ id: string, label: string, current: string, candidate?: string, difference?: string }} Row */
/** @typedef {{ say: string, rows: Row[], warnings: string[] }} Measured */

/**
 * Says beside a button why its work was refused; null takes that away. Without an engine it is the desk's to say.
 * @param {Element | null} line @param {import('./desk.js').Desk} desk @returns {(error: unknown) => void}
 */
export function refusals(line, desk) {
  return (error) => {
    const text = error instanceof Error && !(error instanceof Gone) ? error.message : '';
    if (error instanceof Gone) desk.refuse(error);
    write(line, text);
    line?.toggleAttribute('hidden', text === '');
  };
}

/** @param {Element | null} list @param {readonly string[]} texts of the engine @param {readonly string[]} own those of the page, behind them */
export function printTexts(list, texts, own = []) {
  const told = texts.map((text) => {
    const item = document.createElement('li');
    speak(item, text);
    return item;
  });
  list?.replaceChildren(...told, ...own.map((text) => Object.assign(document.createElement('li'), { textContent: text })));
  list?.toggleAttribute('hidden', texts.length + own.length === 0);
}

/**
 * A table; without heads when there are none. The first cell of a row names it. tell is write where the texts are not the engine's: a joint
 * may be called like anything.
 * @param {Element | null} table @param {readonly string[]} heads @param {readonly string[][]} rows @param {import('./readout.js').Speak} tell
 */
export function printTable(table, heads, rows, tell = speak) {
  table?.closest('.table-scroll')?.toggleAttribute('hidden', rows.length === 0);
  const cell = (/** @type {'td' | 'th'} */ tag, /** @type {string} */ text, scope = '') => {
    const element = document.createElement(tag);
    if (scope) element.setAttribute('scope', scope);
    if (scope === 'col') element.textContent = text;
    else tell(element, text);
    return element;
  };
  const line = (/** @type {HTMLElement[]} */ cells) => {
    const row = document.createElement('tr');
    row.append(...cells);
    return row;
  };
  const [head, body] = [document.createElement('thead'), document.createElement('tbody')];
  head.append(line(heads.map((name) => cell('th', name, 'col'))));
  body.append(...rows.map((row) => line(row.map((text, i) => (i === 0 ? cell('th', text, 'row') : cell('td', text))))));
  table?.replaceChildren(...(heads.length > 0 ? [head, body] : [body]));
}

/** @param {HTMLElement} root a [data-room] @param {Measured} measured */
export function printMeasured(root, { say, rows, warnings }) {
  const body = /** @type {HTMLTableSectionElement | null} */ (root.querySelector('[data-rows]'));
  speak(root.querySelector('[data-say]'), say);
  printTexts(root.querySelector('[data-warnings]'), warnings);
  while (body && body.rows.length > rows.length) body.deleteRow(-1);
  rows.forEach(({ label, current, candidate = '', difference = '' }, i) => {
    const row = body?.rows[i] ?? body?.insertRow();
    if (!row) return;
    if (!row.cells[0]) row.append(Object.assign(document.createElement('th'), { scope: 'row' }));
    speak(row.cells[0], label);
    [current, candidate, difference].forEach((text, k) => {
      const cell = row.cells[k + 1] ?? row.insertCell();
      if (k < 2) cell.setAttribute(k === 0 ? 'data-current' : 'data-candidate', '');
      write(cell, text);
    });
  });
}
