// @ts-check
// Asks the index of the search, which the build wrote as makeIndex would: a test of the build's package search holds one
// against the other, so that both read words alike. It knows no page, no network and no element.

import MiniSearch from 'minisearch';
import listed from './common.json';
import { asks, meant, nearly, plain, stem } from './meant.js';
import { swapped } from './slips.js';

/** @typedef {{ href: string, kind: string, title: string, page?: string }} Head what a result shows at once */
/** @typedef {Head & { also?: string, text?: string }} Place one entry of the build's list */
/** @typedef {Head & { id: number, terms: string[] }} Found terms: the words of the index that were met */

/** Words so common that they tell no two places apart; the build leaves them out too. */
const common = new Set(listed);

/** How much more, or less, a place of a kind is what a reader looks for. @type {Record<string, number>} */
const weights = { lesson: 2, term: 1.6, calculator: 1.6, character: 1.4, path: 1.2, section: 1.1, field: 0.8, result: 0.8,
  example: 0.7, exercise: 0.6, plate: 0.7, source: 0.8 };

/** With fewer places that have all the words, those that have some of them are told too. */
const few = 3;

// Latin and Greek, written out: a new alphabet is a new range here and in the build's reader of words.
const letters = '0-9a-z\\u00c0-\\u00d6\\u00d8-\\u00f6\\u00f8-\\u024f\\u0370-\\u03ff';
const words = new RegExp(`[${letters}]+`, 'gi');
const typedWords = new RegExp(`[${letters}'\\u2019]+`, 'gi');

const options = {
  fields: ['title', 'page', 'also', 'text'],
  storeFields: ['href', 'kind', 'title', 'page'],
  tokenize: (/** @type {string} */ text) => text.match(words) ?? [],
  // Bare numbers stand in every worked example and would fill a third of the index.
  processTerm: (/** @type {string} */ word) => {
    const term = plain(word);
    return common.has(term) || /^[0-9]+$/.test(term) ? null : term;
  },
};

/**
 * @param {string} list the build's places, as JSON
 * @returns {{ index: string, texts: string }} JSON both; the texts are needed only for excerpts, so they travel apart
 */
export function makeIndex(list) {
  const places = /** @type {Place[]} */ (JSON.parse(list));
  const index = new MiniSearch(options);
  index.addAll(places.map((place, id) => ({ id, ...place })));
  return { index: JSON.stringify(index), texts: JSON.stringify(places.map(({ text }) => text ?? '')) };
}

/**
 * @param {string} json the build's index
 * @returns {{ index: MiniSearch, texts: string }} and the address of the texts of its places
 */
export function openIndex(json) {
  const made = JSON.parse(json);
  return { index: MiniSearch.loadJS(made, options), texts: made.texts };
}

/** @param {string} word @returns {boolean} whether the index may have it: all places have "the", and one that asks for it finds none */
const tells = (word) => options.processTerm(word) !== null;

/**
 * What a reader typed, cut where a word ends: one word, or several that are one name ("candy wrapper").
 * @param {string} query @returns {string[]}
 */
function cut(query) {
  const typed = query.match(typedWords) ?? [];
  const said = typed.filter((word) => !asks(word));
  const list = (said.length > 0 ? said : typed).flatMap((word) => word.match(words) ?? []);
  /** @type {string[]} */
  const out = [];
  for (let at = 0; at < list.length;) {
    const long = [3, 2].find((count) => at + count <= list.length && meant(list.slice(at, at + count).join(' '), 'as typed').length > 0) ?? 1;
    out.push(list.slice(at, at + long).join(' '));
    at += long;
  }
  return out.filter((word) => word.includes(' ') || tells(word));
}

/**
 * Places that have all the words, and where these are few, behind them those that have some; one that is called just so comes before
 * the rest.
 * A word counts as typed or as what it means in the book. One that stands in the index is taken for what it is, and only
 * one that does not may be a misspelling: else "fist" would find the first and the list. One that is near no word of the index may
 * be a misspelling of what the list of other names has: "Kniegelnk".
 * @param {MiniSearch} index @param {string} query @returns {Found[]} best first
 */
export function find(index, query) {
  const list = cut(query);
  const known = list.map((word) => index.search(word, { combineWith: 'AND' }).length > 0);
  const typed = (/** @type {string} */ word, /** @type {number} */ at, /** @type {boolean} */ near) => ({
    combineWith: /** @type {const} */ ('AND'), queries: word.split(' ').filter(tells), fuzzy: (/** @type {string} */ term) => near && term.length > 3 && 0.2,
    prefix: (/** @type {string} */ term) => term.length > 2 || at === list.length - 1 && term === plain(word),
  });
  const told = list.map((word, at) => { // whether it may be misspelt, and what is looked for beside it
    const books = meant(word, known[at] ? 'as typed' : at === list.length - 1 ? 'unfinished' : 'in any form');
    if (known[at] || books.length > 0) return { near: false, books, besides: [] };
    const begun = stem(plain(word));
    const besides = begun ? [{ queries: [begun], prefix: begun.length > 3 }] : [];
    const strange = index.search({ combineWith: 'OR', queries: [typed(word, at, true), ...besides] }).length === 0;
    return strange ? { near: true, books: nearly(word), besides: swapped(plain(word)) } : { near: true, books, besides };
  });
  const ways = (/** @type {string} */ word, /** @type {number} */ at, /** @type {boolean} */ loose) => {
    const { near = false, books = [], besides = [] } = told[at] ?? {};
    return { combineWith: /** @type {const} */ ('OR'), queries: [
      typed(word, at, loose || near),
      ...books.map((book) => ({ combineWith: /** @type {const} */ ('AND'), queries: book.filter(tells), prefix: true })),
      ...besides,
    ] };
  };
  const ask = (/** @type {'AND' | 'OR'} */ combineWith, loose = false) => index.search({
    combineWith, queries: list.map((word, at) => ways(word, at, loose)),
  }, {
    boost: { title: 4, also: 3, page: 1.5 },
    boostDocument: (_id, _term, head) => weights[String(head?.kind)] ?? 1,
  });
  const named = plain(query.trim());
  const worth = (/** @type {import('minisearch').SearchResult} */ place) => place.score * (plain(place.title) === named ? 2 : 1);
  /** @type {Map<number, import('minisearch').SearchResult>} */
  const found = new Map();
  for (const some of [() => ask('AND'), () => (found.size > 0 ? [] : ask('AND', true)), () => (found.size < few ? ask('OR') : [])]) {
    for (const place of some().sort((a, b) => worth(b) - worth(a))) if (!found.has(place.id)) found.set(place.id, place);
  }
  return /** @type {any} */ ([...found.values()]);
}

/**
 * The part of a text in which the words stand, cut at words, its pieces marked as met or not.
 * @param {string} text @param {readonly string[]} terms @param {number} [length] about how many characters
 * @returns {{ text: string, met: boolean }[]}
 */
export function excerpt(text, terms, length = 170) {
  const met = new Set(terms);
  const hits = [...text.matchAll(words)].filter(([word]) => met.has(plain(word)));
  const first = hits[0]?.index ?? 0;
  let from = first > length / 3 ? text.indexOf(' ', first - length / 3) + 1 : 0;
  if (from > first) from = first;
  const end = from + length >= text.length ? text.length : Math.max(text.lastIndexOf(' ', from + length), first);
  /** @type {{ text: string, met: boolean }[]} */
  const pieces = [{ text: from > 0 ? '… ' : '', met: false }];
  let at = from;
  for (const { 0: word, index } of hits) {
    if (index + word.length > end) break;
    pieces.push({ text: text.slice(at, index), met: false }, { text: word, met: true });
    at = index + word.length;
  }
  pieces.push({ text: text.slice(at, end) + (end < text.length ? ' …' : ''), met: false });
  return pieces.filter((piece) => piece.text !== '');
}
