// @ts-check
// Runs before the page is painted, a program of its own in the head: takes the reader's choice of light or dark into the page, so that
// nothing flashes; notes what a reader does meanwhile; and has the rest of the scripts come once the first view is painted, so that no
// paint waits for them. Who comes for one place of a page, or for a plate with numbers of a link's own, has them come at once.

import { noteChanges } from './early.js';
import { tellFailure } from './failure.js';
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
const { rest, live, failed = '', again = '' } = document.currentScript?.dataset ?? {};
const numbers = linksNumbers(location.hash);
if (numbers) hireAhead();
if (rest) {
  const modules = new Set((numbers ? `${rest} ${live}` : rest).split(' '));
  const [first = ''] = modules;
  void (location.hash ? Promise.resolve() : painted()).then(() => {
    for (const href of modules) document.head.append(Object.assign(document.createElement('link'), { rel: 'modulepreload', href })); // else a turn for each that imports others
    return parsed();
  }).then(() => import(first)).catch(() => tellFailure(failed, again)); // what the page offers would do nothing, without a word
}

/** Kept when the page has come to its end: what is wired before misses all below. @returns {Promise<void>} */
function parsed() {
  return new Promise((resolve) => {
    if (document.readyState !== 'loading') resolve();
    else document.addEventListener('DOMContentLoaded', () => resolve(), { once: true });
  });
}
