// @ts-check
// Says when the first view is on the screen.

/** A browser that tells of no paint within so many ms has none to tell of. */
const AT_MOST = 5000;

/** @returns {Promise<void>} kept when text or a figure has been painted; at once on a page that nobody sees, where nothing is */
export const painted = () => new Promise((resolve) => {
  const done = () => resolve();
  if (document.hidden) return done();
  new PerformanceObserver((list) => list.getEntriesByName('first-contentful-paint').forEach(done)).observe({ type: 'paint', buffered: true });
  setTimeout(done, AT_MOST);
});
