// @ts-check
// Says in the language of the page what the engine says in English, known again by its pattern. In the files of theme/words a sentence
// stands with gaps under the English one; what fills a gap named part is looked up itself. Hear in cmd/centrode/internal/words does the same.

import { write } from './readout.js';
import { say } from './say.js';

/** @param {string} text with gaps @returns {RegExp} */
const pattern = (text) => new RegExp(`^${text.replace(/[.*+?^$()|[\]\\/]/g, '\\$&').replace(/\{(\w+)\}/g, '(?<$1>.+)')}$`);

/**
 * @param {Record<string, string>} listed of two that fit the first counts
 * @returns {(text: string) => string} the same in the language of the page, or as it is
 */
export function hearing(listed) {
  /** @type {[RegExp, string][] | undefined} made when the first is heard */
  let patterns;
  const whole = new Map(Object.entries(listed));
  /** @type {(text: string) => string} */
  const hear = (text) => {
    const own = whole.get(text);
    if (own !== undefined || !text.includes(' ')) return own ?? text; // most cells of a table hold a number
    patterns ??= Object.entries(listed).map(([english, own]) => [pattern(english), own]);
    for (const [english, own] of patterns) {
      const met = english.exec(text);
      if (met) return say(own, Object.fromEntries(Object.entries(met.groups ?? {}).map(([name, part]) => [name, name.startsWith('part') ? hear(part) : part])));
    }
    return text;
  };
  return hear;
}

/**
 * Writes what is heard into an element, and marks it where it stays English.
 * @param {(text: string) => string} hear @returns {import('./readout.js').Speak}
 */
export const speaking = (hear) => (element, sentence) => {
  const { language = 'en' } = document.documentElement.dataset; // not lang: a browser that translates a page writes its own there
  const text = hear(sentence);
  write(element, text);
  const spoken = text === sentence ? 'en' : language;
  if (language !== 'en' && element && element.getAttribute('lang') !== spoken) element.setAttribute('lang', spoken);
};
