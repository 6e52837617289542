// @ts-check
// The way to the same page in another language: it keeps the place and the state in the address. A language once chosen
// is remembered and offered in the head of pages in another; nobody is sent anywhere.

import { keep, kept } from './keep.js';

/** The last heading above the middle of the window, as a fragment. */
function placeNow() {
  const above = [...document.querySelectorAll('main :is(h2, h3)[id]')].filter((heading) => heading.getBoundingClientRect().top < innerHeight / 2);
  const id = above.at(-1)?.id;
  return id && scrollY > 0 ? `#${id}` : '';
}

/** After so many ms a reader who goes on no longer waits for an answer. */
const PATIENCE = 2000;

/** A plate that waits for what its address is to say, and not only to be drawn anew. */
const ASKED = '[data-waiting="address"]';

/** The last thing that was asked of a plate, as when its field is left by the very press of the link: without its answer it is not in the address. */
const unanswered = () => /** @type {HTMLElement | null} */ (document.querySelector(`[data-plate][data-engine="on"]${ASKED}`));

/** @param {HTMLElement} root @returns {Promise<unknown>} */
const answered = (root) => new Promise((resolve) => {
  new MutationObserver((_, watcher) => {
    if (root.matches(ASKED)) return;
    watcher.disconnect();
    resolve(null);
  }).observe(root, { attributeFilter: ['data-waiting'] });
  setTimeout(resolve, PATIENCE);
});

/**
 * The place and the numbers to go on with, those of the plate that was asked or else of the one that the address names: the address is
 * written a moment after the plate says them.
 * @param {HTMLElement | null} asked
 */
function fragment(asked) {
  const link = (asked ?? document.getElementById(location.hash.slice(1).split('?')[0] ?? ''))?.dataset.link;
  return (link && new URL(link).hash) || location.hash || placeNow();
}

/** Whether a press opens another window or keeps the page, and so leads nowhere from here. @param {MouseEvent} press */
const elsewhere = ({ ctrlKey, metaKey, shiftKey, altKey }) => ctrlKey || metaKey || shiftKey || altKey;

/** @param {AbortSignal} signal */
export function languages(signal) {
  const links = /** @type {HTMLAnchorElement[]} */ ([...document.querySelectorAll('a[data-language]')]);
  const chosen = links.find(({ hreflang }) => hreflang === kept('language'));
  if (chosen) {
    const offer = /** @type {HTMLAnchorElement} */ (chosen.cloneNode(true));
    document.querySelector('.search-place')?.append(offer);
    links.push(offer);
  }
  /** @type {Event | null} the last press of a link that leads on from here, which may come while an earlier one waits */
  let last = null;
  document.addEventListener('click', (event) => {
    if (event.target instanceof Element && event.target.closest('a[href]:not([download])') && !elsewhere(event)) last = event;
  }, { capture: true, signal });
  for (const link of links) {
    const page = link.href;
    link.addEventListener('click', async (event) => {
      keep('language', link.hreflang);
      const root = unanswered();
      link.href = page + fragment(root);
      if (!root || elsewhere(event)) return; // another window comes at once, or never
      event.preventDefault();
      await answered(root);
      if (last === event) location.href = page + fragment(root);
    }, { signal });
  }
}
