// @ts-check
// On paper a link cannot be followed and nothing can be opened: while a page is printed its outward links get numbers and their
// addresses stand as notes at the end, and the answers to its exercises stand on a leaf of their own behind all else, to be kept
// apart. Afterwards the page is as it was. Without scripts the style sheet prints addresses in place, and what was opened.

import { pageOf } from './link.js';
import * as words from '../words/en.json';
import { say } from './say.js';

/** @param {AbortSignal} signal */
export function printNotes(signal) {
  const main = document.querySelector('main');
  /** @type {Element[]} */
  let added = [];
  /** Plates whose calculators have not come, or never will: they stand as they were printed into the page. */
  const asPrinted = () => /** @type {NodeListOf<HTMLElement>} */ (main?.querySelectorAll('[data-plate][data-engine]:not([data-engine="on"])') ?? []);
  const clear = () => {
    for (const element of added) element.remove();
    added = [];
    for (const plate of asPrinted()) delete plate.dataset.link;
    delete document.body.dataset.notes;
  };
  const number = () => {
    clear();
    for (const plate of asPrinted()) plate.dataset.link = `${pageOf(plate)}#${plate.id}`;
    const links = /** @type {NodeListOf<HTMLAnchorElement>} */ (main?.querySelectorAll('a[href^="http"]') ?? []);
    /** @type {Map<string, number>} */
    const notes = new Map();
    for (const link of links) {
      const n = notes.get(link.href) ?? notes.size + 1;
      notes.set(link.href, n);
      const mark = document.createElement('sup');
      mark.className = 'print-mark';
      mark.textContent = `[${n}]`;
      link.after(mark);
      added.push(mark);
    }
    if (!main || notes.size === 0) return;
    document.body.dataset.notes = '';
    const list = document.createElement('ol');
    list.className = 'print-notes';
    list.setAttribute('aria-label', words.addresses);
    for (const address of notes.keys()) list.appendChild(document.createElement('li')).textContent = address;
    main.append(list);
    added.push(list);
  };
  const answers = () => {
    const list = document.createElement('ol');
    for (const line of main?.querySelectorAll('[data-exercise] .exercise-answer-line') ?? []) {
      const root = /** @type {HTMLElement} */ (line.closest('[data-exercise]'));
      const set = root.querySelector('[data-own-numbers]:not([hidden])') ? `${root.querySelector('[data-numbers-note]')?.textContent ?? ''} ` : '';
      const own = /** @type {HTMLElement} */ (line.cloneNode(true));
      const asked = document.querySelector(`#${root.id}-title > :last-child`)?.textContent ?? ''; // behind the word that says what it is
      own.prepend(/[.?!]$/.test(asked) ? asked : `${asked}.`, ` ${set}`);
      list.appendChild(document.createElement('li')).append(own);
    }
    if (!main || list.children.length === 0) return;
    const leaf = document.createElement('section');
    leaf.className = 'print-answers';
    leaf.appendChild(document.createElement('h2')).textContent = say(words.printAnswers, { title: document.querySelector('h1')?.textContent ?? '' });
    leaf.append(list);
    main.append(leaf);
    added.push(leaf);
  };
  window.addEventListener('beforeprint', () => (number(), answers()), { signal });
  window.addEventListener('afterprint', clear, { signal });
}
