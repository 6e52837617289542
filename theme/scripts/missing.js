// @ts-check
// On the page for an address that leads nowhere: offers the pages whose addresses are nearest to it. Without scripts, or
// without the index, the lists below it stand.

import { inBook } from './place.js';

/** @typedef {{ title?: string, term?: string, address: string }} Page */

/** How many letters differ at least. @param {string} a @param {string} b */
function apart(a, b) {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      next[j] = Math.min((row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1, (row[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1));
    }
    row = next;
  }
  return row[b.length] ?? 0;
}

/** How far an address is from the one asked for: as a whole, or by its last part alone. @param {string} asked @param {string} address */
function far(asked, address) {
  const last = (/** @type {string} */ text) => text.split(/[/#]/).filter(Boolean).at(-1) ?? '';
  const share = (/** @type {string} */ a, /** @type {string} */ b) => apart(a, b) / Math.max(a.length, b.length, 1);
  return Math.min(share(asked, address), share(last(asked), last(address)));
}

/** An address as it is read aloud; one that is broken stays as it is. @param {string} address */
function readable(address) {
  try {
    return decodeURIComponent(address);
  } catch {
    return address; // no words can be read from it, so it is compared as it stands
  }
}

/** In a frame, where a plate stood that is gone, a page of the book would be refused: links lead out of it. */
function leaveFrame() {
  if (window.top === window.self) return;
  for (const link of document.links) [link.target, link.rel] = ['_blank', 'noopener'];
}

/** @param {(address: string) => string} place gives an address in the language of the page */
export async function offerNearest(place) {
  leaveFrame();
  const section = document.querySelector('[data-nearest]');
  const list = section?.querySelector('ul');
  const asked = inBook(readable(location.pathname).toLowerCase().slice(0, 200)).replace(/(index)?\.html?$/, '');
  if (!section || !list) return;
  const response = await fetch('/index.json').catch(() => null); // no network: the lists below stand
  if (!response?.ok) return;
  const { lessons, calculators, paths, terms } = await response.json();
  const near = [...lessons, ...calculators, ...paths, ...terms]
    .map((/** @type {Page} */ page) => ({ ...page, far: far(asked, page.address) }))
    .filter((page) => page.far < 0.5)
    .sort((a, b) => a.far - b.far)
    .slice(0, 5);
  for (const { title, term, address } of near) {
    const link = document.createElement('a');
    link.href = place(address);
    link.lang = 'en';
    link.textContent = title ?? term ?? address;
    list.appendChild(document.createElement('li')).append(link);
  }
  section.toggleAttribute('hidden', near.length === 0);
  leaveFrame();
}
