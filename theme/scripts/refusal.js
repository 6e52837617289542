// @ts-check
// The sentences about what was refused: a cell, with where it is, what it holds and what is allowed, and a link. The reasons come from the
// engine, in English; those that a reader meets at a field or in a table are said in the language of the page.

import listed from '../words/en.refusals.json';
import * as words from '../words/en.json';
import { hearing } from './heard.js';
import { say } from './say.js';

/** What the engine says of a value, in the language of the page. */
export const reason = hearing(listed);

/**
 * A refusal as one text, and its language where that is not the page's.
 * @param {import('./readout.js').Refusal} refused @returns {{ text: string, lang: string }}
 */
export function told({ row, given, allowed, text }) {
  const own = reason(allowed);
  if (own === allowed) return { text, lang: 'en' };
  return { text: [row > 0 ? say(words.row, { row }) : '', reason(given), own].filter(Boolean).join(': '), lang: '' };
}

/** @param {string} place @param {string} given @param {string} allowed */
export const refusal = (place, given, allowed) =>
  (given ? say(words.refusedCell, { place, given: reason(given), allowed: reason(allowed) }) : say(words.refusedEmptyCell, { place, allowed: reason(allowed) }));

/** Of a placement sheet. @param {import('./readout.js').Refusal} why */
export function refusedSheet(why) {
  const { text } = told(why);
  return why.field ? say(words.sheetRefusedAt, { field: why.field, text }) : say(words.sheetRefused, { text });
}

/** @param {import('./readout.js').Refusal} why of a value, where the link as such can be read; its field may be anything */
export const refusedLink = (why) => `${words.linkRefused} ${why.field ? say(words.refused, { label: why.field.slice(0, 40), text: told(why).text }) : `${told(why).text}.`}`;

/** Of a link that cannot be read as such. @param {'refused' | 'unnamed'} why @param {string} plate the id of the one that tells it */
export const unreadLink = (why, plate) => (why === 'unnamed' ? say(words.linkUnnamed, { plate }) : words.linkRefused);
