// @ts-check
// Makes the page light or dark, and tells the browser, whose own parts (bars, fields, the window's edge) follow.

const themes = ['light', 'dark'];

/** @param {string} choice one of the two; else the system decides */
export function showTheme(choice) {
  const chosen = themes.includes(choice);
  if (chosen) document.documentElement.dataset.theme = choice;
  else delete document.documentElement.dataset.theme;
  document.querySelector('meta[name="color-scheme"]')?.setAttribute('content', chosen ? choice : themes.join(' '));
  document.querySelectorAll('meta[name="theme-color"]').forEach((meta, i) => { // in the order of themes
    const of = themes[i] ?? '';
    meta.setAttribute('media', chosen ? (of === choice ? 'all' : 'not all') : `(prefers-color-scheme: ${of})`);
  });
}
