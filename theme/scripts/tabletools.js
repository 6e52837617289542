// @ts-check
// The buttons below a table: what they are called and which of them do something now. It changes no rows.

import { enable } from './enable.js';
import * as words from '../words/en.json';
import { say } from './say.js';
import { write } from './readout.js';

/** As many rows are shown at a time: a browser with thousands of inputs is slow. */
export const SHOWN = 100;

/**
 * @param {HTMLElement} box a [data-table]
 * @param {{ row: number, first: number, count: number, undoable: boolean }} table row is the one last used, -1 for none
 */
export function showTools(box, { row, first, count, undoable }) {
  const button = (/** @type {string} */ what) => box.querySelector(`[data-do="${what}"]`);
  const last = Math.min(first + SHOWN, count);
  write(button('remove'), say(words.removeRow, { row: row < 0 ? count : Math.min(row + 1, count) }));
  enable([[button('add'), true], [button('remove'), count > 0], [button('undo'), undoable]]);
  enable([[button('earlier'), first > 0], [button('later'), last < count]]);
  box.querySelector('[data-table-pages]')?.toggleAttribute('hidden', count <= SHOWN);
  write(box.querySelector('[data-table-span]'), say(words.rowsShown, { first: first + 1, last, count }));
}
