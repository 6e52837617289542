// @ts-check
// Brings a plate to life: has it answered beside the page, starts the engine, wires its buttons and its history. It is loaded
// when the first plate of a page needs it.

import { requestOf } from './asker.js';
import { actions } from './copy.js';
import { startEngine } from './engine.js';
import { history } from './history.js';
import { compiled, work } from './long.js';
import { Plate } from './plate.js';
import { turn } from './turn.js';
import * as words from '../words/en.json';

export { showThatItMoves } from './motion.js';

/** The one engine of the page. */
export const engine = () => startEngine(compiled);

/** @param {HTMLElement} root a [data-plate] @param {AbortSignal} signal @returns {Promise<Plate | null>} null when the engine cannot start */
export async function live(root, signal) {
  const first = await glance(root); // while the page is free; and what the worker has run need not be made ready here
  const started = await engine();
  await turn();
  root.dataset.engine = started ? 'on' : 'failed';
  if (!started) {
    const notice = /** @type {HTMLElement | null} */ (root.querySelector('[data-notice]'));
    if (notice) {
      notice.textContent = words.engineFailed;
      notice.hidden = false;
    }
    return null;
  }
  const plate = new Plate(root, started, first, signal);
  actions(plate, signal);
  history(plate, signal);
  await turn();
  plate.begin();
  return plate;
}

/** The answer to the plate as it is printed, from the worker. @param {HTMLElement} root @returns {Promise<import('./solver.js').First | null>} */
function glance(root) {
  const base = root.dataset.base ?? '';
  const args = requestOf(root, base, base);
  return new Promise((resolve) => {
    work({ kind: 'glance', args }, { done: (text) => resolve({ args, text }), failed: () => resolve(null) });
  });
}
