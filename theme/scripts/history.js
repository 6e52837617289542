// @ts-check
// Takes the edits of a plate back and does them again, by buttons and by the platform's keys. It knows nothing of what a
// state means.

import { enable } from './enable.js';
import { undoKeys } from './undokeys.js';

/** @typedef {{ state: string, base: string }} Step */
/** @typedef {import('./plate.js').Plate} Plate */

const MOST = 100;
/** Edits of one input that follow within this time, in ms, are one step: a drag, a held key. */
const TOGETHER = 800;

/** @param {Plate} plate @param {AbortSignal} signal */
export function history(plate, signal) {
  /** @type {Step[]} */
  let past = [];
  /** @type {Step[]} */
  let future = [];
  /** @type {string | null} */
  let last = '';
  let when = -Infinity;
  const [undo = null, redo = null] = ['undo', 'redo'].map((name) => plate.root.querySelector(`[data-action="${name}"]`)); // looked for once: every edit asks
  const show = () => enable([[undo, past.length > 0], [redo, future.length > 0]]);
  plate.kept = (before, from) => {
    const now = performance.now();
    const same = from === last && (plate.root.hasAttribute('data-moving') || now - when < TOGETHER);
    [last, when] = [from, now];
    future = [];
    if (!same) past = [...past.slice(1 - MOST), before];
    show();
  };
  plate.begun = () => { last = null; };
  const go = (/** @type {Step[]} */ there, /** @type {Step[]} */ back) => {
    const step = there.pop();
    if (!step) return;
    back.push(where(plate));
    last = null;
    plate.go(step);
    show();
  };
  plate.root.addEventListener('click', ({ target }) => {
    const action = target instanceof Element ? target.closest('[data-action]')?.getAttribute('data-action') : '';
    if (action === 'undo') go(past, future);
    if (action === 'redo') go(future, past);
  }, { signal });
  undoKeys(plate.root, (which) => (which === 'undo' ? go(past, future) : go(future, past)), signal);
  show();
}

/** Where a reader is: at what is shown or, on the way to another step, at that one. @param {Plate} plate @returns {Step} */
function where({ wanted, step }) {
  return wanted.edits.length > 0 ? step : { state: wanted.state, base: step.base };
}
