// @ts-check
// The texts of drawings in the language of the page. Whoever draws says them, before room is made for them, so they go to where the calculators
// run; what can be read off a drawing is a sentence. Draw in cmd/centrode/internal/words does the same.

import { hearing } from './heard.js';

/** The texts of drawings, then the sentences, each under its English. @typedef {readonly [Record<string, string>, Record<string, string>]} Lists */

/** @param {Lists} lists @returns {(text: string) => string} */
export function drawing([texts, sentences]) {
  const [drawn, own] = [hearing(texts), hearing(sentences)];
  return (text) => {
    const said = drawn(text);
    return said === text ? own(text) : said;
  };
}
