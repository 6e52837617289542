// @ts-check
// What a reader chose, kept by the browser under a name. A browser that keeps nothing is no error: the choice then holds
// for the page.

/** @param {string} name @returns {string} "" when nothing was chosen */
export function kept(name) {
  try {
    return localStorage.getItem(name) ?? '';
  } catch {
    return '';
  }
}

/** @param {string} name @param {string} choice "" takes it back */
export function keep(name, choice) {
  try {
    if (choice) localStorage.setItem(name, choice);
    else localStorage.removeItem(name);
  } catch { /* not kept */ }
}
