// @ts-check
// Brings the file of a placement sheet in, chosen or dropped. It knows nothing of what the file says.

import * as words from '../words/en.json';

/** Longest file that is read, in bytes. */
const MOST = 1 << 20;

/**
 * The ways by which a file comes in: two choosers, and dropping anywhere on the page; on the chooser of the second opinion it
 * is that.
 * @param {HTMLElement} root
 * @param {{ open: (text: string) => void, other: (text: string) => void }} doors
 * @param {(text: string) => void} tell
 * @param {AbortSignal} signal
 */
export function fileDoors(root, doors, tell, signal) {
  /** @param {ArrayLike<File>} files @param {'open' | 'other'} door */
  const take = async (files, door) => {
    if (files.length > 1) return tell(words.sheetOneFile);
    const file = files[0];
    if (!file) return;
    if (file.size > MOST) return tell(words.sheetFileTooLong);
    try {
      doors[door](await file.text());
    } catch {
      tell(words.fileUnread); // a folder, or a file that is gone
    }
  };
  for (const door of /** @type {const} */ (['open', 'other'])) {
    const input = /** @type {HTMLInputElement} */ (root.querySelector(`[data-sheet-${door}]`));
    input.addEventListener('change', () => {
      void take([...(input.files ?? [])], door);
      input.value = ''; // the same file may be chosen again, mended
    }, { signal });
  }
  document.addEventListener('dragover', (event) => {
    if (event.dataTransfer?.types.includes('Files')) event.preventDefault();
  }, { signal });
  document.addEventListener('drop', (event) => {
    if (!event.dataTransfer?.types.includes('Files')) return;
    event.preventDefault();
    const second = event.target instanceof Element && event.target.closest('.sheet-file')?.querySelector('[data-sheet-other]');
    void take(event.dataTransfer.files, second ? 'other' : 'open');
  }, { signal });
}
