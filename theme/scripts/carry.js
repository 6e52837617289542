// @ts-check
// What is written into a closing check, kept with every letter for as long as its tab is open: a page that is read again,
// or in another language, has it. It knows nothing of what an answer means.

import { inBook } from './place.js';

/** Where the answers to a check lie, in whatever language: several may be under way in one tab. @param {string} set */
const where = (set) => `centrode-check ${inBook(location.pathname)} ${set}`;

/** @param {string} set @param {string[]} answers */
export function carry(set, answers) {
  try {
    sessionStorage.setItem(where(set), JSON.stringify(answers));
  } catch {
    // A browser that keeps nothing still has what the page's own entry in its history holds.
  }
}

/** @param {string} set @returns {string[] | null} null when nothing was written with that set */
export function carried(set) {
  try {
    const answers = JSON.parse(sessionStorage.getItem(where(set)) ?? 'null');
    return Array.isArray(answers) ? answers.map(String) : null;
  } catch {
    return null; // as before the first letter
  }
}
