// @ts-check
// Every word that the scripts themselves put on a page, so that a translation is one file. It knows no page.

export const strings = {
  engineFailed: 'The calculator could not be loaded here. The printed figure and its numbers stand.',
  linkRefused: 'The link’s values could not be read, so the plate starts from its own.',
  refused: (/** @type {string} */ label, /** @type {string} */ text) => `${label}: ${text}.`,
  refusedHere: (/** @type {string} */ text) => `${text}.`,
  rowsLeft: (/** @type {number} */ count) => `and ${count} more rows; copy as CSV for all of them`,
  copied: 'Copied.',
  copyByHand: 'The browser did not allow copying. The text is selected below; copy it from there.',
  copyText: 'Text to copy',
  handleKind: 'movable point',
  right: 'Right.',
  rightUnit: (/** @type {string} */ unit) =>
    unit ? `The number is right in ${unit}; write the unit with it.` : 'The number is right, the unit is not.',
  rightSign: 'The size is right; look at the sign.',
  hint: (/** @type {string} */ say) => `Not yet. ${say}`,
  wrong: 'Not yet. Compare your steps with the values given, then try again.',
  unread: (/** @type {string} */ text) => `Your answer ${text}.`,
  addresses: 'Addresses of the links',
  empty: 'Type an answer first.',
  notGraded: 'The calculator could not be loaded, so the answer is not checked. The steps are below.',
  searchLabel: 'Search the handbook',
  searchClose: 'Close',
  searchHelp: 'Arrow keys choose, Enter opens, Escape closes.',
  searchLoading: 'The index is loading.',
  searchFailed: 'The index could not be loaded here. The lists are at',
  searchLessons: 'Lessons',
  searchGlossary: 'Glossary',
  searchWhere: (/** @type {string} */ kind, /** @type {string} */ page) =>
    (page ? `${searchKinds[kind] ?? ''} · ${page}` : (searchKinds[kind] ?? '')),
  searchCount: (/** @type {number} */ found, /** @type {number} */ shown, /** @type {string} */ query) => {
    if (found === 0) return `Nothing found for “${query}”. Try one word of it, or another.`;
    if (found > shown) return `${found} places found, the first ${shown} shown.`;
    return found === 1 ? '1 place found.' : `${found} places found.`;
  },
};

/** What the kinds of place are called. @type {Record<string, string>} */
const searchKinds = {
  lesson: 'Lesson', section: 'Section', example: 'Worked example', exercise: 'Exercise', plate: 'Plate', calculator: 'Calculator',
  field: 'Field', result: 'Result', term: 'Term', source: 'Source', character: 'Character', path: 'Path',
};
