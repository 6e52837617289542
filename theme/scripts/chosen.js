// @ts-check
// The units that a reader chose for lengths, on all pages of this machine: "" stands for centimetres. Told on the root
// element, and by an event of the document when the choice changes.

import { keep, kept } from './keep.js';

const CHANGED = 'unitschange';

/** What may be chosen, as it is printed behind a number. */
const UNITS = ['mm', 'in'];

/** @returns {string} "", "mm" or "in" */
export const chosenUnits = () => document.documentElement.dataset.units ?? '';

/** Takes up what was kept. */
export function recallUnits() {
  const units = kept('units');
  tellUnits(UNITS.includes(units) ? units : '');
}

/** @param {string} units */
function tellUnits(units) {
  if (units === chosenUnits()) return;
  document.documentElement.dataset.units = units;
  document.dispatchEvent(new Event(CHANGED));
}

/** @param {string} units "" for centimetres @returns {boolean} whether the next page will know */
export function chooseUnits(units) {
  tellUnits(units);
  return keep('units', units);
}

/** @param {() => void} then @param {AbortSignal} signal */
export const onUnits = (then, signal) => document.addEventListener(CHANGED, then, { signal });

/** The unit of a field as the reader reads it. @param {string} unit of the page: "cm", "cm²", "°" */
export const inChosen = (unit) => unit.replace('cm', chosenUnits() || 'cm');

/**
 * What was typed, with the unit that the reader reads behind the field where none was typed.
 * @param {string} text
 * @param {string} unit of the page
 */
export const withChosen = (text, unit) =>
  unit.startsWith('cm') && chosenUnits() && /\d/.test(text) && /^[\s\d.,eE+\u2212-]*$/.test(text) ? `${text} ${inChosen(unit)}` : text;
