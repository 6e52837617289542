// @ts-check
// Says when a reader is seen to be at the page. What is noted in its head counts for scripts that come later.

/** What shows that somebody is there, beside a pointer that moves; focusin, since a voice may lead the focus without a key. */
const SIGNS = ['pointerdown', 'touchstart', 'wheel', 'scroll', 'keydown', 'focusin'];

/** @returns {Promise<void>} kept at the first sign, or at once when one was noted */
export const sign = () => new Promise((resolve) => {
  if (document.documentElement.hasAttribute('data-reader')) return resolve();
  const seen = new AbortController();
  const there = () => {
    seen.abort();
    resolve();
  };
  const how = { passive: true, capture: true, signal: seen.signal };
  for (const kind of SIGNS) window.addEventListener(kind, there, how);
  let rested = '';
  window.addEventListener('pointermove', ({ screenX, screenY }) => {
    const spot = `${screenX} ${screenY}`;
    rested ||= spot; // a browser tells a new page where the pointer rests
    if (spot !== rested) there();
  }, how);
});

/** Leaves a note of the first sign in the page. */
export function noteSign() {
  void sign().then(() => document.documentElement.setAttribute('data-reader', ''));
}
