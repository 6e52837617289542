// @ts-check
// What a reader means by a word that the book does not use: another trade's name, American spelling, German. The texts
// are in British English alone, and a reader who types "clavicle" or "Schlüsselbein" looks for the collarbone. It knows no index.

import listed from './meant.json';
import { lettersOf, mayBe, slips } from './slips.js';

const endings = ['', 'n', 'e', 'en', 's', 'es', 'er', 'ern', 't'];
const joints = ['', 's', 'n', 'es', 'en']; // what German puts between two words that it writes as one
const shortest = 4; // letters of a beginning that is taken for a word, and of a word inside a longer one

/** @param {string} word @returns {string} lower case, without accents */
export const plain = (word) => word.toLowerCase().normalize('NFD').replace(/[\u0300-\u036f]/g, '');

/** @param {string} word @returns {string} as the list is asked: an umlaut may be typed as two letters, or without its dots */
const asked = (word) => plain(word).replace(/\u00df/g, 'ss').replace(/([aou])e/g, '$1').replace(/['\u2019]/g, '');

const longest = 40; // letters of a word that is taken apart for slips, which costs its length by that of the list
/** By what may be typed: the words of the book, one to three of them each. @type {Map<string, string[][]>} */
const means = new Map();
for (const [book, typed] of Object.entries(listed.means)) {
  for (const word of typed.map(asked)) means.set(word, [...(means.get(word) ?? []), book.split(' ')]);
}
const idle = new Set(listed.idle.map(asked));

/** @param {string} word @returns {string[][]} of a word in one of its forms */
function inflected(word) {
  for (const ending of endings) {
    const found = word.endsWith(ending) && means.get(word.slice(0, word.length - ending.length));
    if (found) return found;
  }
  return [];
}

/** @param {string} word @returns {string[]} the words of the book for both parts of one that German has joined */
function joined(word) {
  for (let at = word.length - shortest; at >= shortest; at--) {
    const [last] = inflected(word.slice(at));
    const joint = last && joints.find((between) => word.slice(0, at).endsWith(between) && means.has(word.slice(0, at - between.length)));
    const [first] = joint === undefined ? [] : means.get(word.slice(0, at - joint.length)) ?? [];
    if (first && last) return [...first, ...last];
  }
  return [];
}

const names = [...means].filter(([one]) => one.length >= shortest && !one.includes(' ')).map(([one, books]) => ({ one, books, bits: lettersOf(one) }));
const far = 3; // slips that make another word

/** @typedef {{ apart: number, books: string[][] }} Near the fewest slips, and what the words mean that are so near: none from far on */

/** @param {string} word in one of its forms @param {number} least letters of one that may have a slip @returns {Near} the listed words that are nearest to it */
function nearest(word, least) {
  const exact = inflected(word);
  if (exact.length > 0) return { apart: 0, books: exact };
  /** @type {Near} */
  let best = { apart: word.length < 8 ? 2 : far, books: [] };
  for (const ending of word.length < least ? [] : ['', 'n', 'e', 'en', 's', 'es']) {
    const stem = word.endsWith(ending) ? word.slice(0, word.length - ending.length) : '';
    if (stem.length < least) continue;
    const bits = lettersOf(stem);
    for (const name of names) {
      if (!mayBe(name.bits, bits, best.apart)) continue;
      const apart = slips(stem, name.one, best.apart + 1);
      if (apart < best.apart) best = { apart, books: [...name.books] };
      else if (apart === best.apart && best.books.length > 0) best.books.push(...name.books);
    }
  }
  return best.books.length > 0 ? best : { apart: far, books: [] };
}

/**
 * The words of the book for a misspelt word, or for two that German has joined and a reader has misspelt: "Kniegelnk".
 * @param {string} typed @returns {string[][]} each entry is one way to say it
 */
export function nearly(typed) {
  const word = asked(typed);
  if (word.length > longest) return [];
  let best = nearest(word, 6); // of a shorter one, a slip makes another word: a mitre is no Mitte
  for (let at = word.length - shortest; at >= shortest; at--) {
    const last = nearest(word.slice(at), 5);
    for (const joint of last.apart < best.apart ? joints : []) {
      if (!word.slice(0, at).endsWith(joint)) continue;
      const first = nearest(word.slice(0, at - joint.length), 5);
      const apart = first.apart + last.apart;
      if (apart < best.apart) best = { apart, books: [[...first.books[0] ?? [], ...last.books[0] ?? []]] };
    }
  }
  return best.books.slice(0, 6);
}

/**
 * The words of the book for a word, or for several with a space between them: each entry is one way to say it.
 * @param {string} typed
 * @param {'as typed' | 'in any form' | 'unfinished'} form how far it may differ from the list's: a mitten is no Mitte in the plural
 * @returns {string[][]}
 */
export function meant(typed, form) {
  const word = asked(typed);
  const found = form === 'as typed' ? means.get(word) ?? [] : inflected(word);
  if (found.length > 0 || form === 'as typed') return found;
  const both = joined(word);
  if (both.length > 0) return [both];
  if (form !== 'unfinished' || word.length < shortest) return [];
  return [...means].filter(([one]) => one.startsWith(word)).flatMap(([, books]) => books).slice(0, 6);
}

/**
 * A word that only asks: "why", "won't", "wohin".
 * @param {string} word @returns {boolean}
 */
export const asks = (word) => idle.has(asked(word));

/**
 * The stem of an English word in another form than the book's, for a search of its beginning: "sliding" finds slide.
 * @param {string} word in lower case @returns {string} empty where there is none
 */
export function stem(word) {
  const cut = /^(.{3,}?)(?:ing|ings|ed|es|s|ation|ations)$/.exec(word)?.[1] ?? '';
  return cut.replace(/([^aeiouls])\1$/, '$1');
}
