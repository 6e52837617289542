// @ts-check
// What is written on a placement sheet and has no answer yet: whoever leaves the page in that moment, or in the midst of a
// word, takes it along, and the next page has it read. It knows nothing of what a sheet says.

import { parse } from './draft.js';

/** @typedef {(sheet: import('./draft.js').Draft) => void} Change */

/** @param {string} text of a sheet @param {Iterable<Change>} changes */
export function changed(text, changes) {
  const sheet = parse(text);
  for (const change of changes) change(sheet);
  return sheet;
}

/**
 * @param {HTMLElement} root a [data-sheet]
 * @param {() => string} now the sheet as it is shown
 * @param {(text: string) => void} keep
 * @param {AbortSignal} signal
 * @returns {(change: Change) => () => void} notes a change, and answers what to call when it is kept
 */
export function unkept(root, now, keep, signal) {
  /** @type {Set<Change>} */
  const waiting = new Set();
  /** @type {EventTarget | null} the field in which a word may not have come to its end */
  let typed = null;
  root.addEventListener('input', ({ target }) => { typed = target; }, { signal });
  root.addEventListener('change', () => { typed = null; }, { signal });
  const leave = () => {
    typed?.dispatchEvent(new Event('change', { bubbles: true })); // which is noted here
    const sheet = waiting.size > 0 && now() ? changed(now(), waiting) : null;
    if (sheet && sheet.entries.length > 0) keep(JSON.stringify(sheet));
  };
  window.addEventListener('pagehide', leave, { signal });
  document.addEventListener('visibilitychange', () => document.visibilityState === 'hidden' && leave(), { signal }); // a phone may say no more
  return (change) => {
    waiting.add(change);
    return () => void waiting.delete(change);
  };
}
