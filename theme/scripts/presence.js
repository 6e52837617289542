// @ts-check
// Says when a reader is at a page that has all its first view needs, so that nothing is fetched and computed for a page that is only
// opened. It knows nothing of what waits for it.

import { calm } from './calm.js';

/** What shows that somebody is there; focusin, since a voice may lead the focus without a key. */
const SIGNS = ['pointermove', 'pointerdown', 'touchstart', 'wheel', 'scroll', 'keydown', 'focusin'];
/** A reader of whom no sign is heard, such as one who is read to, is taken to be there after so many ms of calm. */
const LATE = 10_000;

/** @type {Promise<void> | undefined} */
let waiting;

/** @returns {Promise<void>} one and the same at each call; signs count from the first */
export function presence() {
  waiting ??= sign().then(calm);
  return waiting;
}

/** @returns {Promise<unknown>} */
const sign = () => new Promise((resolve) => {
  for (const kind of SIGNS) window.addEventListener(kind, resolve, { once: true, passive: true, capture: true });
  void calm().then(() => setTimeout(resolve, LATE));
});
