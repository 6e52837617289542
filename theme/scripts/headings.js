// @ts-check
// The sign beside a heading leads to it, and copies the way there. Where the browser does not allow copying, it says that the
// address bar has it.

import * as words from '../words/en.json';

/** @param {AbortSignal} signal */
export function headingLinks(signal) {
  const told = document.createElement('span');
  told.className = 'heading-copied';
  told.setAttribute('role', 'status');
  told.lang = document.documentElement.lang; // the heading beside it is English on every page
  document.addEventListener('click', async ({ target }) => {
    const link = target instanceof Element ? target.closest('a.heading-anchor') : null;
    if (!(link instanceof HTMLAnchorElement)) return;
    told.textContent = '';
    link.after(told);
    try {
      await navigator.clipboard.writeText(link.href);
      told.textContent = words.copied;
    } catch {
      told.textContent = words.headingNotCopied;
    }
  }, { signal });
}
