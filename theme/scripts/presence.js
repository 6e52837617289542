// @ts-check
// Says when a reader is at a page that has all its first view needs, so that nothing is fetched and computed for a page that is only
// opened. It knows nothing of what waits for it.

import { calm } from './calm.js';
import { sign } from './signs.js';

/** A reader of whom no sign is seen, such as one who is read to, is taken to be there after so many ms of calm. */
const LATE = 10_000;

/** @type {Promise<void> | undefined} */
let waiting;

/** @returns {Promise<void>} one and the same at each call */
export function presence() {
  waiting ??= Promise.race([sign(), calm().then(late)]).then(calm);
  return waiting;
}

const late = () => new Promise((resolve) => { setTimeout(resolve, LATE); });
