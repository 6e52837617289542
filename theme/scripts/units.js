// @ts-check
// Lengths as readers write them: a number, perhaps with its unit, read into cm and printed back.

/** Centimetres in one of each. @type {Record<string, number>} */
const CM = { mm: 0.1, cm: 1, m: 100, in: 2.54 };
/** Digits that show less than a tenth of a millimetre. @type {Record<string, number>} */
const DIGITS = { cm: 3, mm: 2, in: 3 };

/** The units that a field can be shown in. */
export const units = Object.keys(DIGITS);

/**
 * @param {string} text "1.25", "12 mm", "0.5in"
 * @param {string} unit of a number without one
 * @returns {number} cm; NaN when it cannot be read
 */
export function readLength(text, unit) {
  const [, number = '', own = unit] = /^\s*([+\-−]?\d*[.,]?\d*)\s*(mm|cm|m|in)?\s*$/.exec(text) ?? [];
  const value = number === '' || !/\d/.test(number) ? NaN : Number(number.replace('−', '-').replace(',', '.'));
  return Math.abs(value) <= 1e6 ? value * (CM[own] ?? NaN) : NaN;
}

/** @param {number} cm @param {string} unit */
export const inUnit = (cm, unit) => (cm / (CM[unit] ?? 1)).toFixed(DIGITS[unit] ?? 3).replace(/^-(0\.?0*)$/, '$1');
