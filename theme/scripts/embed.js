// @ts-check
// A plate on other people's pages: the code that frames it. It knows nothing of what a state means.

/** Height of the frame in px: drawing, sentence and the first inputs at the width of a text column. */
const HEIGHT = 720;

/** What the plate is called where the handbook's own text is spoken: in frames and on sheets. @param {HTMLElement} root a [data-plate] */
export function titleOf(root) {
  const title = /** @type {HTMLElement | null} */ (root.querySelector('.plate-title em'));
  return title?.dataset.english ?? title?.textContent ?? '';
}

/**
 * The code that shows the plate, as it is now, in a frame.
 * @param {HTMLElement} root a [data-plate] with data-embed
 */
export function embedCode(root) {
  const address = new URL(root.dataset.embed ?? '', location.href).href + new URL(root.dataset.link ?? '', location.href).hash;
  return `<iframe src="${quoted(address)}" title="${quoted(titleOf(root))}" width="100%" height="${HEIGHT}" loading="lazy" allow="clipboard-write"></iframe>`;
}

/** @param {string} text */
function quoted(text) {
  return text.replaceAll('&', '&amp;').replaceAll('"', '&quot;').replaceAll('<', '&lt;');
}
