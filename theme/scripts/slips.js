// @ts-check
// How far a word that a reader typed is from another. It knows neither words nor an index.

/**
 * The slips between two words: letters too many, missing or wrong, and neighbours that have changed places.
 * @param {string} a @param {string} b @param {number} bound @returns {number} no more than the bound
 */
export function slips(a, b, bound) {
  if (Math.abs(a.length - b.length) >= bound) return bound;
  /** @type {number[]} */
  let previous = [];
  let row = Array.from({ length: b.length + 1 }, (_, at) => at);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const here = Math.min((row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1, (row[j - 1] ?? 0) + Number(a[i - 1] !== b[j - 1]));
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      next.push(swapped ? Math.min(here, (previous[j - 2] ?? 0) + 1) : here);
    }
    if (Math.min(...row, ...next) >= bound) return bound; // a swap reaches back two rows
    [previous, row] = [row, next];
  }
  return Math.min(row[b.length] ?? 0, bound);
}

/** @param {string} word @returns {number} a bit for each letter that it has */
export const lettersOf = (word) => [...word].reduce((bits, letter) => bits | 1 << letter.charCodeAt(0), 0);

/** @param {number} bits @returns {number} how many are set */
function count(bits) {
  let many = 0;
  for (let rest = bits; rest !== 0; rest &= rest - 1) many++;
  return many;
}

/** Whether words with these letters can be so few slips apart, each of which changes two letters at most: it spares most comparisons. @param {number} one @param {number} other @param {number} most */
export const mayBe = (one, other, most) => count(one ^ other) <= 2 * most;

/** Two letters that changed places are two misspellings to the library. @param {string} word @returns {string[]} the word with any two neighbours exchanged */
export const swapped = (word) => (word.length > 40 ? [] : [...word.slice(1)].map((letter, at) => word.slice(0, at) + letter + word[at] + word.slice(at + 2)));
