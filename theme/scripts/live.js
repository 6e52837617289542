// @ts-check
// Brings a plate to life: has it answered, then wires its buttons and its history. It is loaded when the first plate of a page needs it.

import { actions } from './copy.js';
import { history } from './history.js';
import { Plate } from './plate.js';
import { turn } from './turn.js';

export { showThatItMoves } from './motion.js';

/** @param {HTMLElement} root a [data-plate] @param {AbortSignal} signal @returns {Promise<Plate | null>} null when no calculators can be had */
export async function live(root, signal) {
  const plate = new Plate(root, signal);
  await turn();
  const alive = await plate.begin();
  root.dataset.engine = alive ? 'on' : 'failed';
  if (!alive) return null;
  actions(plate, signal);
  history(plate, signal);
  return plate;
}
