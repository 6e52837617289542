// @ts-check
// What a reader chose or made, kept by the browser under a name. A browser that keeps nothing (a page in a frame may be
// refused, too) is no error: the choice then holds for the page.

/** What the browser would not keep. @type {Map<string, string>} */
const loose = new Map();

/** @param {string} name @returns {string} "" when nothing is kept */
export function kept(name) {
  try {
    return loose.get(name) ?? localStorage.getItem(name) ?? '';
  } catch {
    return ''; // as on a first visit
  }
}

/** @param {string} name @param {string} choice "" takes it back @returns {boolean} whether it was kept */
export function keep(name, choice) {
  try {
    if (choice) localStorage.setItem(name, choice);
    else localStorage.removeItem(name);
    loose.delete(name);
    return true;
  } catch {
    loose.set(name, choice);
    return false; // told by who asked
  }
}

/**
 * Calls back when what is kept under one of the names may be another's by now: another tab kept it, or a reader goes back to a
 * page that was left.
 * @param {string[]} names
 * @param {() => void} tell
 * @param {AbortSignal} signal
 */
export function watchKept(names, tell, signal) {
  window.addEventListener('storage', ({ key }) => (key === null || names.includes(key)) && tell(), { signal }); // null: all was removed
  window.addEventListener('pageshow', ({ persisted }) => persisted && tell(), { signal });
}
