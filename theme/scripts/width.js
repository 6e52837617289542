// @ts-check
// Knows the width that a drawing may use, and tells when it changes. It knows nothing of drawings.

/** The size of text, in px, up to which a drawing's own words are in proportion. */
const USUAL = 20;

/**
 * A reader who has text set larger gets a smaller sheet, which the page shows as large as the place is: its words grow, too.
 * @param {HTMLElement} place
 */
function measure(place) {
  const larger = Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / USUAL;
  return Math.round(place.clientWidth / Math.max(1, larger));
}

/** @type {WeakMap<HTMLElement, number>} as the page was laid out when it was asked or watched last */
const widths = new WeakMap();

/**
 * The width in px that a drawing may use. The page is read once; then watchWidth keeps it, so that asking lays nothing out.
 * @param {HTMLElement} place
 */
export function widthOf(place) {
  const known = widths.get(place) ?? measure(place);
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
    const now = measure(place);
    if (now === 0 || now === widths.get(place)) return;
    widths.set(place, now);
    redraw();
  });
  watcher.observe(place);
  signal.addEventListener('abort', () => watcher.disconnect());
}
