// @ts-check
// Says when a page has all that its first view needs and nothing to do, so that what only a later moment needs does not
// hold the first up. It knows nothing of what waits for it.

/** So many ms after it has loaded, a page that is never at rest counts as calm. */
const AT_MOST = 3000;

/** @type {Promise<void> | undefined} */
let waiting;

/** @returns {Promise<void>} kept when the page and its fonts have come and the browser is idle; one and the same at each call */
export function calm() {
  waiting ??= loaded().then(() => document.fonts.ready).then(idle);
  return waiting;
}

/** @returns {Promise<unknown>} */
const loaded = () => new Promise((resolve) => {
  if (document.readyState === 'complete') resolve(null);
  else window.addEventListener('load', resolve, { once: true });
});

/** @returns {Promise<void>} kept when there is nothing else to do; soon, where a browser cannot tell */
const idle = () => new Promise((resolve) => {
  if ('requestIdleCallback' in window) requestIdleCallback(() => resolve(), { timeout: AT_MOST });
  else setTimeout(resolve, 50);
});
