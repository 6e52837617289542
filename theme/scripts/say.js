// @ts-check
// Fills the gaps of a word of the interface. The words stand in theme/words, one file for each language; a script names
// them as members of en.json, in whose place the bundle of another language holds its own.

/** @typedef {string | { one: string, other: string }} Word a text, or two of which the gap count chooses */

/**
 * @param {Word} word
 * @param {Record<string, string | number>} values one for each {gap}
 * @returns {string}
 */
export function say(word, values) {
  const text = typeof word === 'string' ? word : values.count === 1 ? word.one : word.other;
  return text.replace(/\{([a-zA-Z]+)\}/g, (gap, name) => String(values[name] ?? gap));
}
