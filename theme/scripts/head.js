// @ts-check
// Runs before the page is painted, a program of its own in the head: takes the reader's choice of light or dark into the page, so that
// nothing flashes; notes what a reader does meanwhile; and has the rest of the scripts come once the first view is painted, so that no
// paint waits for them. Who comes for one place of a page, or for a plate with numbers of a link's own, has them come at once.

import { noteChanges } from './early.js';
import { hireAhead } from './hired.js';
import { kept } from './keep.js';
import { linksNumbers } from './link.js';
import { painted } from './painted.js';
import { showTheme } from './scheme.js';
import { noteSign } from './signs.js';

const choice = kept('theme');
if (choice) showTheme(choice);
noteSign();
noteChanges();
const { rest, beside = '', live = '' } = document.currentScript?.dataset ?? {};
const numbers = linksNumbers(location.hash);
if (numbers) hireAhead();
if (rest) {
  void (location.hash ? Promise.resolve() : painted()).then(() => {
    ahead(numbers ? `${beside} ${live}` : beside);
    return import(rest);
  });
}

/** Has modules fetched before those that import them have come, which would be a turn each. @param {string} addresses */
function ahead(addresses) {
  for (const href of new Set(addresses.match(/\S+/g))) document.head.append(Object.assign(document.createElement('link'), { rel: 'modulepreload', href }));
}
