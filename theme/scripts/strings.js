// @ts-check
// Every word that the scripts themselves put on a page, so that a translation is one file. It knows no page.

export const strings = {
  engineFailed: 'The calculator could not be loaded here. The printed figure and its numbers stand.',
  linkRefused: 'The link’s values could not be read, so the plate starts from its own.',
  refused: (/** @type {string} */ label, /** @type {string} */ text) => `${label}: ${text}.`,
  refusedHere: (/** @type {string} */ text) => `${text}.`,
  linkTooLong: 'These values are too long for a link (over 8 kB), so the address does not hold them. “Copy as JSON” keeps them all.',
  computing: 'Computing',
  rowsDone: (/** @type {number} */ done, /** @type {number} */ total) => `Computing: ${done} of ${total} rows are done.`,
  cancel: 'Cancel',
  stopped: 'Stopped. The drawing and the numbers are rough; any change computes again.',
  stoppedWhole: 'Stopped. The drawing and the numbers are those from before the change.',
  cell: (/** @type {number} */ row, /** @type {string} */ column) => `Row ${row}, ${column}`,
  refusedCell: (/** @type {string} */ place, /** @type {string} */ given, /** @type {string} */ allowed) =>
    given ? `${place}: ${given} ${allowed}.` : `${place} ${allowed}.`,
  row: (/** @type {number} */ row) => `Row ${row}`,
  removeRow: (/** @type {number} */ row) => `Remove row ${row}`,
  rowsShown: (/** @type {number} */ first, /** @type {number} */ last, /** @type {number} */ count) => `Rows ${first} to ${last} of ${count}`,
  tableRead: (/** @type {number} */ count) => `${count} ${count === 1 ? 'row was' : 'rows were'} read. Undo brings back what was there.`,
  columnsUnused: (/** @type {string[]} */ names) => ` Not used: ${names.join(', ')}.`,
  blockTooWide: (/** @type {number} */ columns, /** @type {number} */ room) => `The block has ${columns} columns; from this cell on there is room for ${room}. Nothing was changed.`,
  nothingRead: 'There was nothing to read, so nothing was changed.',
  fileTooLong: 'The file is over 16 MB and was not read.',
  fileUnread: 'The browser could not read the file.',
  tableKept: 'The drawing still shows the last values that could be used.',
  map: 'Reading point of the map; the arrow keys move it',
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
