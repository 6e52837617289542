// @ts-check
// What a plate asks: a state with what becomes of it, and how the answer is taken. It knows no plate.

/** @typedef {{ state: string, edits: readonly import('./edits.js').Edit[] }} Wanted a state, and what becomes of it */
/**
 * How an answer is taken.
 * @typedef {object} Way
 * @property {string} from the field that the question comes from, if any
 * @property {boolean} address whether the address follows
 * @property {(why: import('./readout.js').Refusal) => void} [refused] the last good state stays
 * @property {string} [notice] a line for the reader
 */
/** @typedef {Wanted & { base: string, held?: boolean }} Asked compared with a base; held: on the sheet of a movement's beginning */
/** @typedef {Asked & Way} Question */

/** Edits that have been answered need not be made again. @param {Question} later @param {Question} answered @param {string} state */
export function follow(later, answered, state) {
  if (later.state !== answered.state || !answered.edits.every((edit, i) => edit === later.edits[i])) return;
  Object.assign(later, { state, edits: later.edits.slice(answered.edits.length) });
}
