// @ts-check
// The reader's settings at the foot of a page: light or dark, the units of lengths, and the list of keys. Kept on this machine alone; head.js
// reads the first before a page is painted.

import { chooseUnits, chosenUnits, recallUnits } from './chosen.js';
import { kept, keep, watchKept } from './keep.js';
import { showTheme } from './scheme.js';
import * as words from '../words/en.json';

/** @param {AbortSignal} signal */
export function settings(signal) {
  const line = document.querySelector('[data-settings]');
  const theme = line?.querySelector('select');
  const units = /** @type {HTMLSelectElement | null | undefined} */ (line?.querySelector('[data-lengths]'));
  if (!line || !theme) return;
  const note = document.createElement('span');
  note.setAttribute('role', 'status');
  const tell = (/** @type {boolean} */ done, /** @type {Element} */ where = line) => {
    where.append(note);
    note.textContent = done ? '' : words.notRemembered;
    return done;
  };
  const show = () => {
    theme.value = kept('theme');
    if (units) units.value = chosenUnits();
  };
  show();
  watchKept(['theme', 'units'], () => {
    recallUnits();
    show();
    showTheme(theme.value);
  }, signal);
  theme.addEventListener('change', () => {
    showTheme(theme.value);
    tell(keep('theme', theme.value));
  }, { signal });
  units?.addEventListener('change', () => tell(chooseUnits(units.value)), { signal });
  /** @type {Promise<() => void> | undefined} */
  let opener;
  line.querySelector('[data-keys]')?.addEventListener('click', () => {
    opener ??= import('./keys.js').then(({ keyList }) => keyList({ kept, keep: (name, choice) => tell(keep(name, choice), document.querySelector('dialog[open]') ?? line) }, signal));
    void opener.then((open) => open());
  }, { signal });
  line.removeAttribute('hidden');
}
