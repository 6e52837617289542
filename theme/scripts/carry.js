// @ts-check
// What is written into a closing check, kept with every letter: by its tab for each set of numbers, and by the browser for the set
// that was written last, so that a page that is read again, in another language or on another day, has it. It knows nothing of
// what an answer means.

import { keep, kept, watchKept } from './keep.js';
import { inBook } from './place.js';

/** @typedef {[question: string, text: string]} Answer */
/** @typedef {{ set: string, answers: string[], when: number }} Check */

/** Where the check lies, in whatever language. */
const last = () => `centrode-check ${inBook(location.pathname)}`;
/** Where the answers to a set lie: several may be under way in one tab. @param {string} set */
const where = (set) => `${last()} ${set}`;

/** @param {string} set @param {Answer[]} answers of all questions, in their order */
export function carry(set, answers) {
  const text = JSON.stringify([set, answers, Date.now()]);
  keep(last(), text);
  try {
    sessionStorage.setItem(where(set), text);
  } catch {
    // the page still has them
  }
}

/** What was written last, in this tab or another. @param {string} set @param {string[]} questions @returns {string[] | null} */
export function carried(set, questions) {
  const [own, any] = [read(ofTab(set), questions), read(kept(last()), questions)];
  return (any?.set === set && any.when >= (own?.when ?? 0) ? any : own)?.answers ?? null;
}

/** The check that this browser has not seen finished. @param {string[]} questions @returns {Check | null} */
export function underWay(questions) {
  const check = read(kept(last()), questions);
  return check?.answers.some(Boolean) ? check : null;
}

/** The check with this set is finished, or given up; another that is under way is not. @param {string} set */
export function done(set) {
  if (read(kept(last()), [])?.set === set) keep(last(), '');
}

/** Calls back when another tab has written, or a reader goes back to a page that was left. @param {() => void} tell @param {AbortSignal} signal */
export const watchCarried = (tell, signal) => watchKept([last()], tell, signal);

/** @param {string} set */
function ofTab(set) {
  try {
    return sessionStorage.getItem(where(set)) ?? '';
  } catch {
    return ''; // as before the first letter
  }
}

/**
 * An answer is to its question at its place, which decides the question's numbers. An edition that asks another there gets none.
 * @param {string} text @param {string[]} questions @returns {Check | null}
 */
function read(text, questions) {
  try {
    const [set, answers, when] = JSON.parse(text);
    const had = /** @type {Answer[]} */ (answers);
    return { set: String(set), answers: questions.map((question, i) => (had[i]?.[0] === question ? String(had[i][1]) : '')), when: Number(when) };
  } catch {
    return null; // none, or what nobody here wrote
  }
}
