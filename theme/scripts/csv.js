// @ts-check
// CSV as the reader's spreadsheet expects it: where a comma marks decimals, one that reads "3.40" takes it for a date, and a comma divides no
// cells. What is downloaded for the command line stays as the engine writes it.

import * as words from '../words/en.json';

const cell = /("(?:[^"]|"")*"|[^",\n]*)(,|\n|$)/g;
const number = /^-?\d+\.\d+(?:e[+-]?\d+)?$/;

/** @param {string} text as the engine writes it @returns {string} */
export function localCSV(text) {
  if (words.decimalSign !== ',') return text;
  return text.replace(cell, (_, /** @type {string} */ own, /** @type {string} */ end) => {
    const said = number.test(own) ? own.replace('.', ',') : own;
    return (!said.startsWith('"') && said.includes(';') ? `"${said}"` : said) + (end === ',' ? ';' : end);
  });
}
