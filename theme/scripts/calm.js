// @ts-check
// Says when a page has all that its first view needs and nothing to do, so that what only a later moment needs does not
// hold the first up. It knows nothing of what waits for it.

import { idle } from './idle.js';

/** @type {Promise<void> | undefined} */
let waiting;

/** @returns {Promise<void>} kept when the page and its fonts have come and the browser is idle; one and the same at each call */
export function calm() {
  waiting ??= loaded().then(() => document.fonts.ready).then(idle);
  return waiting;
}

/** @returns {Promise<unknown>} */
const loaded = () => new Promise((resolve) => {
  if (document.readyState === 'complete') resolve(null);
  else window.addEventListener('load', resolve, { once: true });
});
