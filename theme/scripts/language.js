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

/** @param {AbortSignal} signal */
export function languages(signal) {
  const links = /** @type {HTMLAnchorElement[]} */ ([...document.querySelectorAll('a[data-language]')]);
  const chosen = links.find(({ hreflang }) => hreflang === kept('language'));
  if (chosen) {
    const offer = /** @type {HTMLAnchorElement} */ (chosen.cloneNode(true));
    document.querySelector('.search-place')?.append(offer);
    links.push(offer);
  }
  for (const link of links) {
    const page = link.href;
    link.addEventListener('click', () => {
      keep('language', link.hreflang);
      link.href = page + (location.hash || placeNow());
    }, { signal });
  }
}
