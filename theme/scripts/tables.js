// @ts-check
// The input tables of a plate: finds them, and passes on what is in use and what was refused. How one table is edited is
// table.js; it reads no numbers.

import { sets } from './inputs.js';
import { Table } from './table.js';

/** @typedef {import('./plate.js').Plate} Plate */
/** @typedef {import('./readout.js').Refusal} Refusal */

/**
 * @param {HTMLElement} root a plate
 * @param {Plate} plate
 * @param {AbortSignal} signal
 */
export function tables(root, plate, signal) {
  /** @type {Map<string, Table>} */
  const all = new Map();
  for (const box of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll('[data-table]'))) {
    all.set(box.dataset.table ?? '', new Table(box, plate, signal));
  }
  return {
    /** Shows the rows in use. @param {Record<string, string>} fields @param {string} from the field of the edit */
    write(fields, from) {
      for (const [id, table] of all) table.take(fields[id] ?? '', id === from, sets(plate.wanted, id));
    },
    /** Shows why a table is refused. @param {Refusal} refusal @returns {boolean} false when it is about no table */
    refuse(refusal) {
      const table = all.get(refusal.field.split('.')[0] ?? '');
      table?.refuse(refusal);
      return table !== undefined;
    },
    /** Drops what was typed and refused. */
    forget() {
      for (const table of all.values()) table.forget();
    },
  };
}
