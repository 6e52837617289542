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
  /** @type {Promise<(typed: string) => void> | undefined} */
  let opener;
  let waits = false;
  const open = () => {
    opener ??= import('./search.js').then(({ search }) => search(button.dataset, { say, place, keyless }, signal));
    if (waits) return;
    waits = true;
    const from = document.activeElement;
    const line = lineFor(button, signal); // takes what is typed while the search is on its way
    opener.then((show) => {
      waits = false;
      const typed = line.value;
      line.remove();
      if (from instanceof HTMLElement) from.focus({ preventScroll: true }); // the dialog gives the focus back to it
      show(typed);
    }, () => location.assign(place('/lessons/'))); // the script is gone: lists lead further
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

/**
 * Keeps the key that asks for the search out of a line, where it may come as a letter, too.
 * @param {HTMLInputElement} line @param {AbortSignal} signal
 */
function keyless(line, signal) {
  line.addEventListener('beforeinput', (event) => { if (event.data === '/' && line.selectionStart === 0) event.preventDefault(); }, { signal });
}

/**
 * A line to type in that nobody sees, with the focus: keys, a phone's keyboard and what it offers go there.
 * @param {HTMLElement} button @param {AbortSignal} signal
 */
function lineFor(button, signal) {
  const line = document.createElement('input');
  line.className = 'visually-hidden';
  line.ariaLabel = button.textContent;
  line.autocomplete = 'off';
  line.style.fontSize = '1rem'; // a phone zooms to smaller text
  keyless(line, signal);
  button.after(line);
  line.focus({ preventScroll: true });
  return line;
}
