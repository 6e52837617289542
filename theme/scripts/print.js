// @ts-check
// On paper a link cannot be followed: while a page is printed its outward links get numbers and their addresses stand
// as notes at the end. Afterwards the page is as it was. Without scripts the style sheet prints addresses in place.

import * as words from '../words/en.json';

/** @param {AbortSignal} signal */
export function printNotes(signal) {
  const main = document.querySelector('main');
  /** @type {Element[]} */
  let added = [];
  const clear = () => {
    for (const element of added) element.remove();
    added = [];
    delete document.body.dataset.notes;
  };
  const number = () => {
    clear();
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
  window.addEventListener('beforeprint', number, { signal });
  window.addEventListener('afterprint', clear, { signal });
}
