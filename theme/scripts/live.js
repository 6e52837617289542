// @ts-check
// Brings a plate to life: has it answered, and wires its history and its buttons. It is loaded when the first plate of a page needs it.

import { actions } from './copy.js';
import { history } from './history.js';
import { Plate } from './plate.js';
import { turn } from './turn.js';

export { showThatItMoves } from './motion.js';

/** @param {HTMLElement} root a [data-plate] @param {AbortSignal} signal @returns {Promise<Plate | null>} null when no calculators can be had */
export async function live(root, signal) {
  const plate = new Plate(root, signal);
  await turn();
  history(plate, signal); // what is done while the calculators come can be taken back, too
  const alive = await plate.begin();
  root.dataset.engine = alive ? 'on' : 'failed';
  if (!alive) return null;
  actions(plate, signal);
  return plate;
}
