// @ts-check
// What is written on a placement sheet and has no answer yet: whoever leaves the page in that moment, or in the midst of a
// word, takes it along, and the next page has it read. It knows nothing of what a sheet says.

import { parse } from './draft.js';

/** @typedef {(sheet: import('./draft.js').Draft) => void} Change */
/** @typedef {{ gone: boolean, end: () => void }} Note of a change that waits; gone: it went along as the page was left, and what is kept has it; end is called once it is answered */

/** @param {string} text of a sheet @param {Iterable<Change>} changes */
export function changed(text, changes) {
  const sheet = parse(text);
  for (const change of changes) change(sheet);
  return sheet;
}

/**
 * @param {HTMLElement} root a [data-sheet]
 * @param {() => string} now the sheet as it is shown
 * @param {(text: string) => boolean} keep
 * @param {() => void} kept
 * @param {AbortSignal} signal
 * @returns {(change: Change) => Note} notes a change
 */
export function unkept(root, now, keep, kept, signal) {
  /** @type {Set<Note & { change: Change }>} */
  const waiting = new Set();
  /** @type {EventTarget | null} the field in which a word may not have come to its end */
  let typed = null;
  root.addEventListener('input', ({ target }) => { typed = target; }, { signal });
  root.addEventListener('change', () => { typed = null; }, { signal });
  const leave = () => {
    typed?.dispatchEvent(new Event('change', { bubbles: true })); // which is noted here
    const sheet = waiting.size > 0 && now() ? changed(now(), [...waiting].map(({ change }) => change)) : null;
    if (!sheet || sheet.entries.length === 0 || !keep(JSON.stringify(sheet))) return;
    for (const note of waiting) note.gone = true;
    kept();
  };
  window.addEventListener('pagehide', leave, { signal });
  document.addEventListener('visibilitychange', () => document.visibilityState === 'hidden' && leave(), { signal }); // a phone may say no more
  return (change) => {
    const note = { change, gone: false, end: () => void waiting.delete(note) };
    waiting.add(note);
    return note;
  };
}

/** @returns {(act: () => void | Promise<void>) => Promise<void>} does one thing after the other: each changes what the one before left */
export function inTurn() {
  let done = Promise.resolve();
  return (act) => (done = done.then(act, act));
}
