// @ts-check
// Prints an answer's words and numbers into a plate: sentence, table cells, the steps' slots, answer tables, warnings.
// It knows nothing of inputs, drawing or state.

import * as words from '../words/en.json';
import { say } from './say.js';

/** @typedef {{ field: string, min: number, max: number, now: number, text: string }} Axis */
/** @typedef {{ name: string, valuetext: string, axes: Axis[] }} HandleText */
/** @typedef {{ field: string, row: number, given: string, allowed: string, text: string }} Refusal */
/**
 * What calc/plate answers, see Solve there.
 * @typedef {object} Answer
 * @property {Refusal} [error]
 * @property {string} say
 * @property {string} [verdict] where the calculator answers a plain question
 * @property {boolean} [good]
 * @property {string} state
 * @property {boolean} rough whether a whole answer is still to come
 * @property {boolean} differs whether there are two sides to show
 * @property {{ code: string, field: string, text: string, note: boolean }[]} warnings
 * @property {Record<string, string>} fields in base units
 * @property {Record<string, string>} typed those that the reader reads in other units
 * @property {Record<string, { current: string, candidate: string, difference: string }>} cells
 * @property {Record<string, string>} slots
 * @property {Record<string, { rows: string[][], left: number }>} answers
 * @property {HandleText[]} handles
 * @property {import('./figure.js').Element_} figure
 */

/**
 * Writes only what changed, so that nothing is announced or laid out twice.
 * @param {Element | null | undefined} element
 * @param {string} text
 */
export function write(element, text) {
  const node = element?.firstChild;
  if (node instanceof Text && !node.nextSibling && text) {
    if (node.data !== text) node.data = text;
  } else if (element && element.textContent !== text) element.textContent = text;
}

/** @typedef {(element: Element | null | undefined, sentence: string) => void} Speak writes a sentence of the engine in the language of the page */

/**
 * @param {HTMLElement} root a plate
 * @param {Speak} speak
 * @returns {(answer: Answer) => void} prints; what has no place in the page is skipped
 */
export function readout(root, speak) {
  const say = root.querySelector('[data-say]');
  const verdict = /** @type {HTMLElement | null} */ (root.querySelector('[data-verdict]'));
  const warnings = root.querySelector('[data-warnings]');
  const rows = [.../** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll('[data-output], [data-pair]'))].map((row) => ({
    id: row.dataset.output ?? row.dataset.pair ?? '',
    current: row.querySelector('[data-current]'),
    candidate: row.querySelector('[data-candidate]'),
    difference: row.querySelector('[data-difference]'),
  }));
  const slots = [...root.querySelectorAll('.slot')].map((element) => ({ element, id: slotID(element) }));
  const tables = /** @type {NodeListOf<HTMLTableElement>} */ (root.querySelectorAll('[data-answers] table[data-answer]'));
  return (answer) => {
    speak(say, answer.say);
    speak(verdict, answer.verdict ?? '');
    if (verdict && verdict.dataset.good !== String(answer.good)) verdict.dataset.good = String(answer.good);
    root.toggleAttribute('data-alone', !answer.differs);
    for (const { id, current, candidate, difference } of rows) {
      const cell = answer.cells[id];
      if (!cell) continue;
      speak(current, cell.current);
      speak(candidate, cell.candidate);
      speak(difference, cell.difference);
    }
    for (const { element, id } of slots) write(element, answer.slots[id] ?? '');
    for (const table of tables) {
      const rowsOf = answer.answers[table.dataset.answer ?? ''];
      if (rowsOf) printTable(table, rowsOf, speak);
    }
    if (warnings) printList(warnings, answer.warnings, speak);
  };
}

/** @param {Element} element with a class slot-ID */
export const slotID = (element) => [...element.classList].find((name) => name.startsWith('slot-'))?.slice('slot-'.length) ?? '';

/**
 * @param {Element} list
 * @param {Answer['warnings']} told
 * @param {Speak} speak
 */
function printList(list, told, speak) {
  while (list.children.length > told.length) list.lastElementChild?.remove();
  told.forEach(({ text, note }, i) => {
    const item = list.children[i] ?? list.appendChild(document.createElement('li'));
    item.classList.toggle('quiet', note);
    speak(item, text);
  });
  list.toggleAttribute('hidden', told.length === 0);
}

/**
 * Names that somebody gave, in columns marked as named, stay as they are.
 * @param {HTMLTableElement} table
 * @param {{ rows: string[][], left: number }} answer
 * @param {Speak} speak
 */
function printTable(table, { rows, left }, speak) {
  const named = [...(table.tHead?.rows[0]?.cells ?? [])].map((head) => head.hasAttribute('data-named'));
  const body = table.tBodies[0] ?? table.createTBody();
  const wanted = left > 0 ? [...rows, [say(words.rowsLeft, { count: left })]] : rows;
  while (body.rows.length > wanted.length) body.deleteRow(-1);
  wanted.forEach((cells, i) => {
    const row = body.rows[i] ?? body.insertRow();
    while (row.cells.length > cells.length) row.deleteCell(-1);
    cells.forEach((text, j) => (i < rows.length && !named[j] ? speak : write)(row.cells[j] ?? row.insertCell(), text));
    if (i >= rows.length) [row, ...row.cells].forEach((part) => part.removeAttribute('lang')); // which may have held what stays English
    const last = row.cells[0];
    const span = i >= rows.length ? (rows[0]?.length ?? 1) : 1;
    if (last && last.colSpan !== span) last.colSpan = span;
  });
}
