// @ts-check
// One question of a closing check: its parts on the page, how its answer is graded, and the day it is answered on.

import { hints, judge, verdictOf } from './exercise.js';
import { write } from './readout.js';
import * as words from '../words/en.json';

/** @typedef {{ card: HTMLElement, input: HTMLInputElement, verdict: HTMLElement, said: HTMLElement }} Item */

/** @param {HTMLElement} card @returns {Item} */
export const itemOf = (card) => ({
  card, input: /** @type {HTMLInputElement} */ (card.querySelector('input')), verdict: /** @type {HTMLElement} */ (card.querySelector('[data-verdict]')),
  said: /** @type {HTMLElement} */ (card.querySelector('[data-closing-answer]')),
});

/** @param {Item} item @param {import('./calculators.js').Ask} ask @param {boolean} whole finished, so nothing is to be tried again @returns {Promise<boolean>} whether it is right */
export async function gradeOne({ card, input, verdict }, ask, whole) {
  const judgement = input.value.trim() ? await judge(card, ask, input.value) : null;
  const result = judgement?.verdict ?? 'empty';
  verdict.dataset.result = result;
  verdict.hidden = result === 'empty' && !whole;
  if (result === 'empty') write(verdict, words.noAnswer);
  else write(verdict, whole && result === 'wrong' ? words.closingWrong : verdictOf(result, judgement, hints(card)));
  return result === 'right';
}

/** The day of the browser's clock, as a date input writes it. */
export function today() {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}
