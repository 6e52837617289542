// @ts-check
// Lengths as readers write them: a number, perhaps with its unit, read into cm and printed back. The rules are those of
// calc/quantity, by which the forms of the calculators are read.

/** Powers of ten from each to centimetres. @type {Record<string, number>} */
const POWERS = { mm: -1, cm: 0, m: 2 };
/** Centimetres in one of those that have no such power. @type {Record<string, number>} */
const CM = { in: 2.54, ft: 30.48 };
/** Digits that show less than a tenth of a millimetre. @type {Record<string, number>} */
const DIGITS = { cm: 3, mm: 2, in: 3 };

/** The units that a field can be shown in. */
export const units = Object.keys(DIGITS);

/** Degrees in one of those that an angle may have. @type {Record<string, number>} */
const DEGREES = { '°': 1, rad: 180 / Math.PI, turn: 360 };
/** Units in full, as people type them. @type {[RegExp, string][]} */
const FULL = [[/^millimet(re|er)s?$/, 'mm'], [/^centimet(re|er)s?$/, 'cm'], [/^met(re|er)s?$/, 'm'], [/^(inch|inches|"|″)$/, 'in'], [/^(foot|feet)$/, 'ft'],
  [/^(deg|degrees?)$/, '°'], [/^radians?$/, 'rad'], [/^turns$/, 'turn']];

/** What a number is written with: sign, digits, fraction behind a point or a comma, exponent, and then its unit. */
const WRITTEN = /^([+-]?)(\d*)(?:([.,])(\d*))?(e[+-]?\d+)?\s*([a-z]*|[°"″])$/i;

/**
 * A number with its unit. A comma that may divide thousands ("1,234") is not guessed at: a guess could be wrong by a thousand.
 * @param {string} text
 * @returns {{ digits: string, unit: string } | null} digits as a script reads them, with a point
 */
function parse(text) {
  const [, sign = '', whole = '', mark = '', fraction = '', exponent = '', unit = ''] = WRITTEN.exec(text.trim().replace('−', '-')) ?? [];
  const thousands = fraction.length === 3 && /^[1-9]\d{0,2}$/.test(whole);
  if (whole + fraction === '' || (mark === ',' && (fraction === '' || thousands))) return null;
  return { digits: `${sign}${whole}.${fraction || 0}${exponent}`, unit: FULL.find(([full]) => full.test(unit))?.[1] ?? unit };
}

/** The number moved by so many powers of ten, in its own digits: a tenth is no binary fraction. @param {string} digits @param {number} by */
function shifted(digits, by) {
  const [mantissa = '', exponent = '0'] = digits.toLowerCase().split('e');
  return Number(`${mantissa}e${Number(exponent) + by}`);
}

/** @param {string} text "60", "60 °", "0.25 turn", "1,5 s" @param {string} unit that may stand behind it @returns {number} NaN when it cannot be read */
export function readNumber(text, unit = '') {
  const { digits, unit: own } = parse(text) ?? { digits: 'none', unit: '' };
  const degrees = unit === '°' && own !== unit ? DEGREES[own] : undefined;
  if (degrees !== undefined) return Number(digits) * degrees;
  return own === '' || own === unit ? Number(digits) : NaN;
}

/**
 * @param {string} text "1.25", "12 mm", "0.5in"
 * @param {string} unit of a number without one
 * @returns {number} cm; NaN when it cannot be read
 */
export function readLength(text, unit) {
  const { digits, unit: own } = parse(text) ?? { digits: 'none', unit: '' };
  const power = POWERS[own || unit];
  const value = power !== undefined ? shifted(digits, power) : Number(digits) * (CM[own || unit] ?? NaN);
  return Math.abs(value) <= 1e6 ? value : NaN;
}

/** @param {number} cm @param {string} unit */
export const inUnit = (cm, unit) => (CM[unit] ? cm / CM[unit] : shifted(String(cm), -(POWERS[unit] ?? 0))).toFixed(DIGITS[unit] ?? 3).replace(/^-(0\.?0*)$/, '$1');
