// @ts-check
// Runs before the page is painted: takes the reader's choice of light or dark into the page, so that nothing flashes.
// It is a file of its own, loaded in the head; what the choice looks like is the style sheet's business.
{
  let choice = null;
  try {
    choice = localStorage.getItem('theme');
  } catch { /* a browser that keeps nothing follows the system */ }
  if (choice === 'light' || choice === 'dark') {
    document.documentElement.dataset.theme = choice;
    document.querySelector('meta[name="color-scheme"]')?.setAttribute('content', choice);
    for (const meta of document.querySelectorAll('meta[name="theme-color"]')) {
      if (meta.getAttribute('media')?.includes(choice)) meta.removeAttribute('media');
      else meta.remove();
    }
  }
}
