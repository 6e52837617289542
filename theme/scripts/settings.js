// @ts-check
// The reader's settings at the foot of a page: light or dark, the units of lengths, and the list of keys. Kept on this machine alone; theme.js
// reads the first before a page is painted.

import { chooseUnits, chosenUnits } from './chosen.js';
import { kept, keep } from './keep.js';
import { showTheme } from './scheme.js';

/** @param {AbortSignal} signal */
export function settings(signal) {
  const line = document.querySelector('[data-settings]');
  const theme = line?.querySelector('select');
  const units = /** @type {HTMLSelectElement | null | undefined} */ (line?.querySelector('[data-lengths]'));
  if (!line || !theme) return;
  theme.value = kept('theme');
  theme.addEventListener('change', () => {
    keep('theme', theme.value);
    showTheme(theme.value);
  }, { signal });
  if (units) units.value = chosenUnits();
  units?.addEventListener('change', () => chooseUnits(units.value), { signal });
  /** @type {Promise<() => void> | undefined} */
  let opener;
  line.querySelector('[data-keys]')?.addEventListener('click', () => {
    opener ??= import('./keys.js').then(({ keyList }) => keyList({ kept, keep }, signal));
    void opener.then((open) => open());
  }, { signal });
  line.removeAttribute('hidden');
}
