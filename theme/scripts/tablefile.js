// @ts-check
// Brings cells into a table from the clipboard, from a file and from plain text, and takes them out as a file. Telling
// cells, columns and decimal signs apart is the engine's business.

import * as words from '../words/en.json';
import { download } from './download.js';
import { say } from './say.js';

/** @typedef {import('./table.js').Table} Table */
/** @typedef {{ row: number, column: number }} Place */

const MOST = 16 << 20;

/**
 * @param {Table} table
 * @param {import('./plate.js').Plate} plate
 * @param {AbortSignal} signal
 */
export function exchange(table, plate, signal) {
  const { box, id } = table;
  const file = /** @type {HTMLInputElement | null} */ (box.querySelector('[data-table-file]'));
  const text = /** @type {HTMLTextAreaElement | null} */ (box.querySelector('[data-table-text]'));
  /** @param {string} source @param {Place | null} place null: instead of all rows */
  const read = async (source, place) => {
    box.setAttribute('aria-busy', 'true');
    try {
      fill(table, await plate.ask.pasted(id, source, table.columns.map(({ label }) => label).join('\n')), place);
    } finally {
      box.removeAttribute('aria-busy');
    }
  };
  /** @param {File | null | undefined} source */
  const load = async (source) => {
    if (!source) return;
    if (source.size > MOST) return table.say(words.fileTooLong);
    try {
      await read(await source.text(), null);
    } catch {
      table.say(words.fileUnread);
    }
  };
  box.querySelector('table')?.addEventListener('paste', (event) => {
    const copied = event.clipboardData?.getData('text/plain') ?? '';
    if (!isBlock(copied)) return;
    event.preventDefault();
    void read(copied, event.target instanceof Element && event.target.closest('td') ? table.placeOf(event.target) : null); // on a head or a row's number: all rows
  }, { signal });
  box.addEventListener('dragover', (event) => {
    if (event.dataTransfer?.types.includes('Files')) event.preventDefault();
  }, { signal });
  box.addEventListener('drop', (event) => {
    if (!event.dataTransfer?.files.length) return;
    event.preventDefault();
    void load(event.dataTransfer.files[0]);
  }, { signal });
  file?.addEventListener('change', () => {
    void load(file.files?.[0]).then(() => { file.value = ''; });
  }, { signal });
  let printed = ''; // in the text, by the page: what a reader wrote there stays until it is used
  box.querySelector('.plate-table-text')?.addEventListener('toggle', async () => {
    if (text?.value !== printed) return;
    const rows = await plate.ask.exportAs(plate.step.state, `input:${id}`);
    if (text.value !== printed) return;
    text.value = rows;
    printed = text.value;
  }, { signal });
  box.addEventListener('click', async ({ target }) => {
    const what = target instanceof HTMLElement ? target.dataset.do : '';
    if (what === 'use-text' && text) {
      printed = text.value;
      void read(text.value, null);
    }
    if (what === 'download') download(`${id}.csv`, await plate.ask.exportAs(plate.step.state, `input:${id}`), 'text/csv');
  }, { signal });
}

/** Whether a text is more than one cell. @param {string} text */
const isBlock = (text) => /[\t\n;]/.test(text.trim()) || (text.match(/,/g) ?? []).length > 1;

/**
 * @param {Table} table
 * @param {import('./asker.js').Pasted} block
 * @param {Place | null} place
 */
function fill(table, block, place) {
  if (block.error) return table.say(block.error);
  const { rows, headed, unused } = block;
  const wide = Math.max(0, ...rows.map((row) => row.length));
  if (wide === 0) return table.say(words.nothingRead);
  const at = headed || !place ? 0 : place.column;
  const room = table.columns.length - at;
  if (wide > room) return table.say(say(words.blockTooWide, { columns: wide, room }));
  const whole = !place || (place.row === 0 && at === 0 && wide >= Number(table.box.dataset.needed));
  table.change(whole ? rows.map((row) => padded(row, table.columns.length)) : over(table, rows, place.row, at));
  table.say(say(words.tableRead, { count: rows.length }) + (unused.length > 0 ? ` ${say(words.columnsUnused, { names: unused.join(', ') })}` : ''));
}

/** @param {string[]} row @param {number} length */
const padded = (row, length) => [...row, ...Array(Math.max(0, length - row.length)).fill('')];

/**
 * Lays a block over the rows, which grow as needed.
 * @param {Table} table
 * @param {string[][]} block
 * @param {number} down
 * @param {number} right
 */
function over(table, block, down, right) {
  const rows = [...table.rows];
  block.forEach((cells, i) => {
    const row = [...(rows[down + i] ?? padded([], table.columns.length))];
    cells.forEach((cell, j) => { row[right + j] = cell; });
    rows[down + i] = row;
  });
  return rows;
}
