// @ts-check
// What a reader chose or made, kept by the browser under a name. A browser that keeps nothing (a page in a frame may be
// refused, too) is no error: the choice then holds for the page.

/** @param {string} name @returns {string} "" when nothing is kept */
export function kept(name) {
  try {
    return localStorage.getItem(name) ?? '';
  } catch {
    return ''; // as on a first visit
  }
}

/** @param {string} name @param {string} choice "" takes it back @returns {boolean} whether it was kept */
export function keep(name, choice) {
  try {
    if (choice) localStorage.setItem(name, choice);
    else localStorage.removeItem(name);
    return true;
  } catch {
    return false; // told by who asked
  }
}
