// @ts-check
// The arrays of the drawing that is shown, and those that are drawn no more and can be filled again: what crosses to the
// worker and back is never copied. It knows nothing of who draws.

/** @typedef {import('./roomview.js').Surfaces} Surfaces */
/** @typedef {import('./roomworker.js').Frame} Frame */

/** @param {[ArrayBuffer, ArrayBuffer]} pair @returns {[Float32Array<ArrayBuffer>, Float32Array<ArrayBuffer>]} */
export const floats = ([a, b]) => [new Float32Array(a), new Float32Array(b)];

export class Arrays {
  /** @type {Surfaces | null} */
  shown = null;
  /** @type {ArrayBuffer[]} */
  spent = [];

  /**
   * The surfaces of a new drawing; a current one that was not sent again is the one that is shown.
   * @param {Frame} frame @param {boolean} two whether there is a candidate beside the current placement
   * @returns {Surfaces}
   */
  take(frame, two) {
    const old = this.shown;
    const candidate = floats(frame.candidate);
    const shown = { candidate, current: frame.current ? floats(frame.current) : (two && old?.current) || candidate };
    const kept = new Set([...shown.candidate, ...shown.current]);
    const free = new Set(old ? [...old.candidate, ...old.current].filter((array) => !kept.has(array)) : []);
    this.spent.push(...frame.spent, ...[...free].map(({ buffer }) => /** @type {ArrayBuffer} */ (buffer)));
    return this.shown = shown;
  }
}
