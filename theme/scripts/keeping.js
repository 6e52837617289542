// @ts-check
// Keeps files of one edition of the site in the browser's cache for it, each only if its content is that edition's. Both
// the worker and the page that saves the whole site use it. It knows no page.

/**
 * What one edition holds: for each address the beginning of its SHA-256 and the bytes that travel; what every page needs,
 * and what is a page's own.
 * @typedef {{ version: string, files: Record<string, [hash: string, size: number]>, core: string[], own: Record<string, string[]> }} Edition
 */

/** Names of the caches begin so; one an edition. */
export const PREFIX = 'centrode-';
/** Where the worker notes what outlives an edition. */
export const NOTES = 'notes-of-centrode';

/** @param {Edition} edition */
export const cacheName = ({ version }) => PREFIX + version;

/** @param {Response} response whose body is used up */
export async function hashOf(response) {
  const sum = await crypto.subtle.digest('SHA-256', await response.arrayBuffer());
  return [...new Uint8Array(sum, 0, 8)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

/**
 * Puts one file of the edition into its cache: from an earlier edition if it is the same there, else from the network.
 * @param {Edition} edition
 * @param {string} path
 * @param {RequestInit} [how]
 * @returns {Promise<void>} fails when the network does, or has another edition by now
 */
export async function keep(edition, path, how = {}) {
  const hash = edition.files[path]?.[0];
  const cache = await caches.open(cacheName(edition));
  if (await cache.match(path)) return;
  for (const name of await caches.keys()) {
    const kept = name.startsWith(PREFIX) ? await (await caches.open(name)).match(path) : undefined;
    if (kept && await hashOf(kept.clone()) === hash) return cache.put(path, kept);
  }
  const response = await fetch(path, { cache: 'no-cache', ...how });
  if (!response.ok || await hashOf(response.clone()) !== hash) throw new Error(`${path} is of another edition`);
  await cache.put(path, response);
}

/** @param {Edition} edition @returns {Promise<string[]>} addresses that are not kept yet */
export async function missing(edition) {
  const cache = await caches.open(cacheName(edition));
  const kept = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname));
  return Object.keys(edition.files).filter((path) => !kept.has(path));
}
