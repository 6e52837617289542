// @ts-check
// Tells when the width that a drawing may use changes. It knows nothing of drawings.

/**
 * Draws again when the width that the drawing may use changes.
 * @param {HTMLElement} place
 * @param {() => void} redraw
 * @param {AbortSignal} signal
 */
export function watchWidth(place, redraw, signal) {
  let seen = place.clientWidth;
  const watcher = new ResizeObserver(() => {
    if (place.clientWidth === seen || place.clientWidth === 0) return;
    seen = place.clientWidth;
    redraw();
  });
  watcher.observe(place);
  signal.addEventListener('abort', () => watcher.disconnect());
}
