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

/**
 * Steps of one handle one way are one edit: a drawing that is arranged anew may count its handles otherwise, and a key that is pressed before
 * that drawing has come means the handle of the one that is seen.
 * @param {readonly import('./edits.js').Edit[]} edits @param {import('./edits.js').Edit} edit
 * @returns {readonly import('./edits.js').Edit[]}
 */
export function joined(edits, edit) {
  const last = edits.at(-1);
  if (typeof edit === 'string' || typeof last !== 'object' || edit.kind !== 'nudge' || last.kind !== 'nudge') return [...edits, edit];
  if (edit.handle !== last.handle || Math.sign(edit.x) !== Math.sign(last.x) || Math.sign(edit.y) !== Math.sign(last.y)) return [...edits, edit];
  return [...edits.slice(0, -1), { ...edit, x: last.x + edit.x, y: last.y + edit.y }];
}
