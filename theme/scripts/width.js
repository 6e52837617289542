// @ts-check
// Knows the width that a drawing may use, and tells when it changes. It knows nothing of drawings.

/** @type {WeakMap<HTMLElement, number>} as the page was laid out when it was asked or watched last */
const widths = new WeakMap();

/**
 * The width in px that a drawing may use. The page is read once; then watchWidth keeps it, so that asking lays nothing out.
 * @param {HTMLElement} place
 */
export function widthOf(place) {
  const known = widths.get(place) ?? place.clientWidth;
  widths.set(place, known);
  return known;
}

/**
 * Draws again when the width that the drawing may use changes.
 * @param {HTMLElement} place
 * @param {() => void} redraw
 * @param {AbortSignal} signal
 */
export function watchWidth(place, redraw, signal) {
  const watcher = new ResizeObserver(() => {
    const now = place.clientWidth;
    if (now === 0 || now === widths.get(place)) return;
    widths.set(place, now);
    redraw();
  });
  watcher.observe(place);
  signal.addEventListener('abort', () => watcher.disconnect());
}
