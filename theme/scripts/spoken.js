// @ts-check
// What the page gives to the calculators so that they draw in its language: the texts of drawings and, as their handles are told to a screen
// reader, the labels of what these edit. An English page gives nothing.

import texts from '../words/en.drawings.json';
import sentences from '../words/en.sentences.json';

export { sentences };

/** @returns {import('./drawn.js').Lists | null} */
export function spoken() {
  const labels = [.../** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll('[data-labels]'))].map(({ dataset }) => JSON.parse(dataset.labels ?? ''));
  return Object.keys(texts).length > 0 ? [Object.assign({}, ...labels, texts), sentences] : null;
}
