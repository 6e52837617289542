// @ts-check
// The list of keys that work here, in a dialog, with the switch for the only one that is a single character: a reader who
// speaks to the machine may need it off. Which key does what is decided where it is done.

import * as words from '../words/en.json';

/** @typedef {{ kept: typeof import('./keep.js').kept, keep: typeof import('./keep.js').keep }} Tools handed in, so that pages need not load them as a file apart */

const list = [
  [words.keysSearchKey, words.keysSearch], [words.keysHandleKeys, words.keysHandle],
  [words.keysPointsKeys, words.keysPoints], [words.keysFieldKeys, words.keysField],
  [words.keysTableKeys, words.keysTable], [words.keysMapKeys, words.keysMap], [words.keysUndoKeys, words.keysUndo], [words.keysRedoKeys, words.keysRedo],
];

/**
 * @param {Tools} tools
 * @param {AbortSignal} signal
 * @returns {() => void} opens the dialog
 */
export function keyList({ kept, keep }, signal) {
  const dialog = document.createElement('dialog');
  const title = document.createElement('h2');
  const keys = document.createElement('dl');
  const label = document.createElement('label');
  const single = document.createElement('input');
  const close = document.createElement('button');
  dialog.className = 'keys';
  title.id = 'keys-title';
  title.textContent = words.keysTitle;
  dialog.setAttribute('aria-labelledby', title.id);
  for (const [key, what] of list) {
    keys.appendChild(document.createElement('dt')).textContent = key ?? '';
    keys.appendChild(document.createElement('dd')).textContent = what ?? '';
  }
  single.type = 'checkbox';
  single.checked = kept('single-keys') !== 'off';
  single.addEventListener('change', () => keep('single-keys', single.checked ? '' : 'off'), { signal });
  label.append(single, ` ${words.keysSingle}`);
  close.type = 'button';
  close.textContent = words.searchClose;
  close.addEventListener('click', () => dialog.close(), { signal });
  dialog.append(title, keys, label, close);
  dialog.addEventListener('click', ({ target }) => { if (target === dialog) dialog.close(); }, { signal });
  document.body.append(dialog);
  return () => { if (!dialog.open) dialog.showModal(); };
}
