// @ts-check
// The placement sheet that this browser keeps between two pages: plates and the fitting room add to it, the page of the
// sheet shows it. What stands in it is the engine's business; here it is only kept.

import * as words from '../words/en.json';
import { kept, keep, watchKept } from './keep.js';
import { place } from './place.js';
import { say } from './say.js';

/** @typedef {{ format: string, entries: unknown[], [name: string]: unknown }} Draft */
/** @typedef {{ error?: import('./readout.js').Refusal, text: string, doubts: number, tree: import('./figure.js').Element_ }} Shown what the engine answers to a sheet */

const KEY = 'centrode-sheet';
const BEFORE = 'centrode-sheet-before';
/** What was kept unread, and what it comes from. */
const UNREAD = 'centrode-sheet-unread';
const FORMAT = 'centrode-sheet-1';
/** As in calc/sheet. */
const MOST = 4;
const PAGE = '/sheet/';

/** The sheet as a text; "" when there is none. */
export const draft = () => kept(KEY);

/** Calls back when another page of this browser may have changed the sheet. @param {() => void} tell @param {AbortSignal} signal */
export const watchDraft = (tell, signal) => watchKept([KEY], tell, signal);

/** The sheet that another one took the place of. */
export const draftBefore = () => kept(BEFORE);

/**
 * Keeps the sheet; one that is about something else moves aside first.
 * @param {string} text
 * @param {boolean} another whether it is another sheet, and no change of the one that is kept
 */
export function keepDraft(text, another) {
  const now = kept(KEY);
  if (another && now && now !== text) keep(BEFORE, now);
  if (kept(UNREAD)) keep(UNREAD, '');
  return keep(KEY, text);
}

/**
 * Keeps a sheet that the engine has not read, and with it the one that it comes from: a word in it may be refused.
 * @param {string} text @param {string} good @param {boolean} another
 */
export function keepUnread(text, good, another) {
  const is = keepDraft(text, another);
  keep(UNREAD, JSON.stringify([text, good]));
  return is;
}

/** What the sheet that is kept comes from, where that one was kept unread; else "". @returns {string} */
function draftRead() {
  try {
    const [text, good] = JSON.parse(kept(UNREAD));
    return text === draft() ? String(good) : '';
  } catch {
    return ''; // none was kept unread
  }
}

/** What was kept unread is refused, and must not shut the sheet: the one that it comes from is kept again. @returns {string} that one; "" when there is none */
export function takeBack() {
  const good = draftRead();
  if (good) keep(KEY, good);
  return good;
}

/** Begins anew; the old sheet moves aside. */
export function clearDraft() {
  const now = kept(KEY);
  if (now) keep(BEFORE, now);
  keep(UNREAD, '');
  keep(KEY, '');
}

/** @param {string} text @returns {Draft} an empty one when the text is none */
export function parse(text) {
  try {
    const read = JSON.parse(text);
    if (read?.format === FORMAT && Array.isArray(read.entries)) return read;
  } catch {
    // said where it is shown
  }
  return { format: FORMAT, entries: [] };
}

/**
 * @param {string[]} added JSON of each entry, see calc/sheet; all of them or none
 * @returns {{ text: string, href: string }} a sentence for the reader, and the address of the sheet
 */
export function addToSheet(added) {
  const own = draft();
  const sheet = parse(own);
  if (own && sheet.entries.length === 0) keep(BEFORE, own); // a later edition may have left it: the new one must not cost it
  const count = sheet.entries.length + added.length;
  if (count > MOST) return { text: say(words.sheetFull, { most: MOST }), href: place(PAGE) };
  const longer = (/** @type {Draft} */ { entries, ...texts }) => JSON.stringify({ ...texts, entries: [...entries, ...added.map((entry) => JSON.parse(entry))] });
  const [whole, good] = [longer(sheet), draftRead()];
  if (good ? keepUnread(whole, longer(parse(good)), false) : keep(KEY, whole)) return { text: say(words.sheetAdded, { count }), href: place(PAGE) };
  return { text: words.sheetNotKept, href: `${place(PAGE)}#j=${encodeURIComponent(whole)}` };
}
