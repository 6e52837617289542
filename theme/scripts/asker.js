// @ts-check
// Asks about one plate: the calculator, the width of its drawing, the prefix of its ids and the reader's units go with every
// question. It keeps no state.

import { ask, foresee } from './calculators.js';
import { chosenUnits } from './chosen.js';
import { widthOf } from './width.js';

/** @typedef {import('./readout.js').Answer} Answer */
/** @typedef {import('./edits.js').Edit} Edit */
/** @typedef {[id: string, state: string, base: string, width: number, prefix: string, units: string]} Request_ */
/**
 * What calc/plate answers for a block of cells, see PastedJSON there.
 * @typedef {object} Pasted
 * @property {import('./readout.js').Refusal} [error]
 * @property {boolean} headed
 * @property {string[]} unused
 * @property {string[][]} rows
 */
/**
 * @typedef {object} Asker
 * @property {(state: string, base: string) => Request_} request
 * @property {(state: string, base: string, edits: readonly Edit[], alone: boolean) => Promise<Answer | null>} foresee what edits would
 *   lead to, roughly; alone: compared with nothing; null when it cannot be had
 * @property {(state: string, base: string, x: number, y: number) => Promise<string>} probe what the drawing holds at a point, in words
 * @property {(table: string, text: string, labels: string) => Promise<Pasted>} pasted labels: what the page calls the columns, a line each
 * @property {(state: string, base: string, title: string) => Promise<string>} entry the plate as an entry of a placement sheet
 * @property {(state: string, format: string) => Promise<string>} exportAs
 */

/**
 * @param {HTMLElement} root a [data-plate]
 * @returns {Asker}
 */
export function asker(root) {
  const id = root.dataset.calculator ?? '';
  const place = /** @type {HTMLElement | null} */ (root.querySelector('[data-figure]'));
  /** @type {Asker['request']} */
  const request = (state, base) => [id, state, base, place ? widthOf(place) : 0, `${root.id}-live`, chosenUnits()];
  return {
    request,
    foresee: (state, base, edits, alone) => foresee({ args: request(state, base), edits, alone }).then((text) => (text ? JSON.parse(text) : null)),
    async probe(state, base, x, y) {
      const text = await ask('probe', ...request(state, base), x, y);
      return text.startsWith('{') ? '' : text;
    },
    pasted: async (table, text, labels) => JSON.parse(await ask('table', id, table, text, labels)),
    entry: (state, base, title) => ask('entry', id, state, base, title),
    exportAs: (state, format) => ask('exportAs', id, state, format),
  };
}
