// @ts-check
// Puts fresh numbers into the card of an exercise: a set has a short name, which stands in the address, so that a link
// shows the same numbers. What the numbers are, and what they lead to, is the engine's business.

import { draw } from './figure.js';
import { addressWriter, readLink } from './link.js';
import { slotID, write } from './readout.js';
import * as words from '../words/en.json';
import { say } from './say.js';

/**
 * What calc/plate answers, see Fresh there.
 * @typedef {object} Numbers
 * @property {import('./readout.js').Refusal} [error]
 * @property {string} state
 * @property {string} answer
 * @property {string} tolerance
 * @property {string} hints
 * @property {string[]} told
 * @property {Record<string, string>} given
 * @property {Record<string, string[][]>} rows
 * @property {string} result
 * @property {string} slack
 * @property {string[]} gave
 * @property {Record<string, string>} slots
 * @property {import('./figure.js').Element_} figure
 */

/** The name of a set of numbers. */
export const SET = /^[0-9a-z]{1,12}$/;

/** @returns {string} */
export function anySet() {
  const [one = 0] = crypto.getRandomValues(new Uint32Array(1));
  return String(1000 + (one % 9000));
}

/**
 * @param {HTMLElement} root a card with a recipe
 * @param {import('./calculators.js').Ask} ask
 * @param {string} set empty: the printed numbers
 * @returns {Promise<Numbers | null>} null when there are none
 */
export async function numbersOf(root, ask, set) {
  const { calculator = '', recipe = '' } = root.dataset;
  const numbers = /** @type {Numbers} */ (JSON.parse(await ask('fresh', calculator, recipe, set, 480, `${root.id}-figure`)));
  return numbers.error ? null : numbers;
}

/** @param {HTMLElement} root @param {Numbers} numbers */
export function putIn(root, numbers) {
  const each = (/** @type {string} */ selector, /** @type {string[]} */ texts) =>
    root.querySelectorAll(selector).forEach((element, i) => write(element, texts[i] ?? ''));
  Object.assign(root.dataset, { answer: numbers.answer, tolerance: numbers.tolerance, hintValues: numbers.hints, computed: numbers.result });
  each('[data-told]', numbers.told);
  for (const cell of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll('[data-given]'))) {
    write(cell, numbers.given[cell.dataset.given ?? ''] ?? '');
  }
  for (const table of /** @type {NodeListOf<HTMLTableElement>} */ (root.querySelectorAll('table[data-rows]'))) {
    const rows = numbers.rows[table.dataset.rows ?? ''] ?? [];
    [...(table.tBodies[0]?.rows ?? [])].forEach((row, i) => [...row.cells].forEach((cell, j) => write(cell, rows[i]?.[j] ?? '')));
  }
  each('.exercise-answer-line .value-cell', [numbers.result]);
  each('[data-slack]', [say(words.answerSlack, { slack: numbers.slack })]);
  each('.mistakes .value-cell', numbers.gave);
  for (const slot of root.querySelectorAll('.steps .slot')) write(slot, numbers.slots[slotID(slot)] ?? '');
  const place = root.querySelector('.card-figure');
  if (place) draw(place, numbers.figure);
  const open = root.querySelector('a.open-plate');
  open?.setAttribute('href', `${open.getAttribute('href')?.split('#')[0] ?? ''}#plate-${root.dataset.calculator}?${numbers.state}`);
}

/**
 * @param {HTMLElement} root a [data-exercise]
 * @param {() => Promise<import('./calculators.js').Ask | null>} getAsk
 * @param {AbortSignal} signal
 * @param {() => void} changed called when other numbers stand in the card
 * @returns {() => string} the set that stands in the card; empty for the printed numbers
 */
export function freshNumbers(root, getAsk, signal, changed) {
  const bar = /** @type {HTMLElement | null} */ (root.querySelector('[data-numbers]'));
  const own = /** @type {HTMLElement | null} */ (root.querySelector('[data-own-numbers]'));
  const note = root.querySelector('[data-numbers-note]');
  const rest = root.querySelector('.given-rest > summary');
  const printedRest = rest?.textContent ?? '';
  const writeAddress = addressWriter(signal);
  let set = '';
  if (!bar || !own) return () => set;
  bar.hidden = false;
  const show = async (/** @type {string} */ wanted, /** @type {boolean} */ address) => {
    const ask = await getAsk();
    const numbers = ask && await numbersOf(root, ask, wanted);
    if (!numbers) return write(note, ask ? words.noFresh : words.freshFailed);
    set = wanted;
    putIn(root, numbers);
    own.hidden = set === '';
    write(rest, set ? words.freshInputs : printedRest);
    write(note, set ? say(words.freshNote, { set }) : words.printedNote);
    if (address) writeAddress(set ? `#${root.id}?${set}` : `#${root.id}`);
    changed();
  };
  root.querySelector('[data-new-numbers]')?.addEventListener('click', () => void show(anySet(), true), { signal });
  own.addEventListener('click', () => {
    void show('', true);
    /** @type {HTMLElement | null} */ (root.querySelector('[data-new-numbers]'))?.focus();
  }, { signal });
  const follow = () => {
    const linked = readLink(location.hash, root.id, false);
    if (!linked) return;
    root.scrollIntoView();
    if (linked === 'refused' || linked.base !== null || !SET.test(linked.state)) write(note, words.setRefused);
    else void show(linked.state, false);
  };
  window.addEventListener('hashchange', follow, { signal });
  follow();
  return () => set;
}
