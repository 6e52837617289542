// @ts-check
// Links that lead on from a page's only plate take its numbers along, as they are when the link is followed: from a frame to the plate's own
// page, and from a quick check to the page of its calculator. It knows nothing of what a state means.

import { place } from './place.js';

/** @param {AbortSignal} signal */
export function linksOnward(signal) {
  const root = /** @type {HTMLElement | null} */ (document.querySelector('[data-plate][data-home], .check[data-plate]'));
  if (!root) return;
  const calculator = place(`/plates/${root.dataset.calculator}/`);
  for (const link of document.querySelectorAll('a')) {
    if (!link.matches('[data-embed-home]') && link.getAttribute('href') !== calculator) continue;
    for (const kind of ['pointerdown', 'focus', 'click']) { // the last for who reads aloud and only clicks, and where an answer came since
      link.addEventListener(kind, () => {
        if (!root.dataset.link) return; // no calculator has answered: the printed values stand
        link.href = link.matches('[data-embed-home]') ? root.dataset.link : calculator + asFirst(root);
      }, { signal });
    }
  }
}

/** The fragment that opens the state on the first plate of another page, see link.js. @param {HTMLElement} root */
function asFirst(root) {
  const { link = '', base = '' } = root.dataset;
  const [, state = base, from = base] = new URL(link).hash.split('?');
  return `#s=${state}?${from}`;
}
