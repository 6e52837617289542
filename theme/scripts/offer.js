// @ts-check
// Offers the search: by its button, or by the key "/" wherever nobody is typing. The search itself, its library and its
// index load when it is first asked for. It knows nothing of what is found.

import { kept } from './keep.js';
import { place } from './place.js';
import { say } from './say.js';

const typing = 'input:not([type="range"]), textarea, select, [contenteditable], dialog';

/** @param {AbortSignal} signal */
export function offerSearch(signal) {
  const button = /** @type {HTMLElement | null} */ (document.querySelector('[data-search]'));
  if (!button) return;
  /** @type {Promise<() => void> | undefined} */
  let opener;
  const open = () => {
    opener ??= import('./search.js').then(({ search }) => search(button.dataset, { say, place }, signal));
    opener.then((show) => show(), () => location.assign(place('/lessons/'))); // the script is gone: lists lead further
  };
  button.addEventListener('click', open, { signal });
  document.addEventListener('keydown', (event) => {
    if (kept('single-keys') === 'off') return;
    if (event.key !== '/' || event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.target instanceof Element && event.target.closest(typing)) return;
    event.preventDefault();
    open();
  }, { signal });
}
