// @ts-check
// Asks the engine about one plate: the calculator, the width of its drawing, the prefix of its ids and the reader's
// units go with every question. It keeps no state.

import { chosenUnits } from './chosen.js';
import { widthOf } from './width.js';

/** @typedef {import('./engine.js').Engine} Engine */
/** @typedef {import('./readout.js').Answer} Answer */
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
 * @property {(state: string, base: string, rough?: boolean) => Answer} solve
 * @property {(state: string, base: string) => Answer | null} refusal what can be refused before solving; null when nothing is
 * @property {(state: string, base: string, budget: number) => Answer | null} attempt null when it would take longer than the budget, in ms
 * @property {(kind: 'drag' | 'nudge', state: string, base: string, handle: number, x: number, y: number) => string} move
 *   answers the state after a handle was moved to a point or by steps; the same state when that is refused
 * @property {(state: string, base: string, x: number, y: number) => string} probe what the drawing holds at a point, in words
 * @property {(table: string, text: string) => Pasted} pasted
 * @property {(state: string, base: string, title: string) => string} entry the plate as an entry of a placement sheet
 * @property {(state: string, format: string) => string} exportAs
 */

/** After so long, in ms, the time that the parts took says how long the rest will take. */
const GLANCE = 8;

/**
 * What goes with every question about a plate.
 * @param {HTMLElement} root a [data-plate]
 * @param {string} state
 * @param {string} base
 * @returns {Request_}
 */
export function requestOf(root, state, base) {
  const place = /** @type {HTMLElement | null} */ (root.querySelector('[data-figure]'));
  return [root.dataset.calculator ?? '', state, base, place ? widthOf(place) : 0, `${root.id}-live`, chosenUnits()];
}

/**
 * @param {HTMLElement} root a [data-plate]
 * @param {Engine} engine
 * @returns {Asker}
 */
export function asker(root, engine) {
  const id = root.dataset.calculator ?? '';
  /** @type {Asker['request']} */
  const request = (state, base) => requestOf(root, state, base);
  return {
    request,
    solve: (state, base, rough = false) => JSON.parse(engine.solve(...request(state, base), rough)),
    refusal(state, base) {
      const first = engine.begin(...request(state, base));
      return Number.isNaN(Number(first)) ? JSON.parse(first) : null;
    },
    attempt(state, base, budget) {
      const args = request(state, base);
      const began = performance.now();
      const first = engine.begin(...args);
      const total = Number(first);
      if (Number.isNaN(total)) return JSON.parse(first);
      for (let done = 0; done < total;) {
        done = Number(engine.step(id, 1));
        const took = performance.now() - began;
        if (done < total && took > GLANCE && (took * total) / done > budget) return null;
      }
      return JSON.parse(engine.finish(...args));
    },
    move(kind, state, base, handle, x, y) {
      const next = engine[kind](...request(state, base), handle, x, y);
      return next.startsWith('{') ? state : next;
    },
    probe(state, base, x, y) {
      const text = engine.probe(...request(state, base), x, y);
      return text.startsWith('{') ? '' : text;
    },
    pasted: (table, text) => JSON.parse(engine.table(id, table, text)),
    entry: (state, base, title) => engine.entry(id, state, base, title),
    exportAs: (state, format) => engine.exportAs(id, state, format),
  };
}
