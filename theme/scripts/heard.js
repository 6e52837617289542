// @ts-check
// Says in the language of the page what the engine says in English, known again by the texts between its gaps. In the files of theme/words a sentence
// stands with gaps under the English one; what fills a gap named part is looked up itself. Hear in cmd/centrode/internal/words does the same.

import { write } from './readout.js';
import { say } from './say.js';

/**
 * What fills the gaps of a sentence, by their names, or null where it is another. Every gap holds something, the first as much as it can, and one
 * named count a whole number. It goes through the sentence once, from its end: names in it may be long and look like anything.
 * @param {readonly string[]} pieces texts and between them the names of gaps @param {string} sentence @returns {Record<string, string> | null}
 */
function meet(pieces, sentence) {
  const [first = '', last = ''] = [pieces[0], pieces.at(-1)];
  if (pieces.length === 1) return sentence === first ? {} : null;
  if (!sentence.startsWith(first) || !sentence.endsWith(last)) return null;
  /** @type {Record<string, string>} */
  const values = {};
  let end = sentence.length - last.length;
  for (let i = pieces.length - 2; i > 0; i -= 2) {
    const [before = '', name = ''] = pieces.slice(i - 1);
    const at = i === 1 ? 0 : sentence.slice(0, Math.max(0, end - 1)).lastIndexOf(before);
    const value = sentence.slice(at + before.length, end);
    if (at < 0 || at + before.length >= end || name.startsWith('count') && /\D/.test(value)) return null;
    values[name] = value;
    end = at;
  }
  return values;
}

/**
 * @param {Record<string, string>} listed of two that fit the first counts
 * @returns {(text: string) => string} the same in the language of the page, or as it is
 */
export function hearing(listed) {
  /** @type {[string[], string][] | undefined} made when the first is heard */
  let patterns;
  const whole = new Map(Object.entries(listed));
  /** @type {(text: string) => string} */
  const hear = (text) => {
    const own = whole.get(text);
    if (own !== undefined || !/[ "]/.test(text)) return own ?? text; // most cells of a table hold a number
    patterns ??= Object.entries(listed).map(([english, own]) => [english.split(/\{([a-zA-Z]+)\}/), own]);
    for (const [english, own] of patterns) {
      const met = meet(english, text);
      if (met) return say(own, Object.fromEntries(Object.entries(met).map(([name, part]) => [name, name.startsWith('part') ? hear(part) : part])));
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
