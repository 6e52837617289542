// @ts-check
// Says when the browser has nothing else to do.

/** A browser that is never at rest counts as such after so many ms. */
const AT_MOST = 3000;

/** @returns {Promise<void>} kept when there is nothing else to do; soon, where a browser or a worker cannot tell */
export const idle = () => new Promise((resolve) => {
  if ('requestIdleCallback' in globalThis) requestIdleCallback(() => resolve(), { timeout: AT_MOST });
  else setTimeout(resolve, 50);
});
