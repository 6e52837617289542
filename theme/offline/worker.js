// @ts-check
// The service worker: keeps visited pages with all that they load, and answers from there when the network does not. The
// build writes the edition (what the site holds, by content) in front of it, so every change of the site is a new worker.
//
// A page is answered by the network, or by one edition's cache; what it loads has its content in its name and is taken
// from whichever cache has it. So no page meets a script or calculator of another edition. A new worker first fills its own
// cache; the caches before it stay until no page is open that began with them.

import { cacheName, hashOf, keep, NOTES, PREFIX } from '../scripts/keeping.js';

/** @typedef {import('../scripts/keeping.js').Edition} Edition */

const worker = /** @type {ServiceWorkerGlobalScope & { edition: Edition }} */ (/** @type {unknown} */ (self));
const { edition } = worker;
const NAME = cacheName(edition);
/** How long, in ms, the network may take for a page that is kept. */
const PATIENCE = 3000;

worker.addEventListener('install', (event) => event.waitUntil(fill()));
worker.addEventListener('activate', (event) => event.waitUntil(begin()));
worker.addEventListener('message', (event) => {
  if (event.data === 'edition') event.ports[0]?.postMessage(edition);
});
worker.addEventListener('fetch', (event) => {
  const { origin, pathname } = new URL(event.request.url);
  if (event.request.method !== 'GET' || origin !== location.origin) return;
  if (pathname.startsWith('/assets/')) event.respondWith(asset(event, pathname));
  else if (event.request.mode === 'navigate') event.respondWith(page(event, pathname));
  else if (edition.files[pathname]) event.respondWith(other(event, pathname));
});

/** Fills this edition's cache with what every page needs and what the reader kept of the edition before. */
async function fill() {
  const wanted = new Set(edition.core);
  const whole = await (await caches.open(NOTES)).match('/whole');
  if (whole) for (const path of Object.keys(edition.files)) wanted.add(path);
  for (const name of await caches.keys()) {
    if (!name.startsWith(PREFIX)) continue;
    for (const { url } of await (await caches.open(name)).keys()) {
      const { pathname } = new URL(url);
      if (edition.files[pathname]) wanted.add(pathname);
    }
  }
  for (const path of wanted) await keepWhole(path);
  await worker.skipWaiting();
}

/** Keeps a file and, of a page, what it alone loads. @param {string} path */
async function keepWhole(path) {
  for (const each of [...edition.own[path] ?? [], path]) await keep(edition, each);
}

/** Takes over open pages, keeps the ones of this edition, and notes all: they may still need what earlier editions kept. */
async function begin() {
  const open = await worker.clients.matchAll({ type: 'window', includeUncontrolled: true });
  const earlier = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== NAME);
  await (await caches.open(NOTES)).put('/before', Response.json({ pages: open.map(({ id }) => id), caches: earlier }));
  await worker.clients.claim();
  for (const { url } of open) {
    const { pathname } = new URL(url);
    if (edition.files[pathname]) await keepWhole(pathname).catch(() => {}); // the page is read all the same
  }
  await tidy();
}

/** Drops the caches that were there before this edition, once no page is open that began with one. A cache that came later is the next edition's, which is filling it. */
async function tidy() {
  const note = await (await caches.open(NOTES)).match('/before');
  const { pages = [], caches: earlier = [] } = /** @type {{ pages?: string[], caches?: string[] }} */ (await note?.json() ?? {});
  if (earlier.length === 0 || worker.registration.installing) return; // an earlier edition may be the next one, too
  for (const id of pages) if (await worker.clients.get(id)) return;
  for (const name of earlier) await caches.delete(name);
}

/** @param {FetchEvent} event @param {string} path */
async function asset(event, path) {
  const found = await caches.match(path);
  if (found) return found;
  if (edition.files[path]) event.waitUntil(keep(edition, path).catch(() => {})); // it may be gone by now; the page has it
  return fetch(event.request);
}

/** @param {FetchEvent} event @param {string} path */
async function page(event, path) {
  event.waitUntil(tidy());
  const copy = await (await caches.open(NAME)).match(path);
  try {
    const response = await inTime(fetch(event.request), copy ? PATIENCE : 0);
    if (copy && response.status >= 500) return copy; // the host is there, and cannot give its pages
    event.waitUntil(remember(path, response.clone()));
    return response;
  } catch {
    if (!copy && edition.files[`${path}/`]) return Response.redirect(`${path}/${new URL(event.request.url).search}`);
    return copy ?? kept(path.replace(/^(\/[a-z]{2}\/)?.*/, '$1').replace(/\/?$/, '/offline/'));
  }
}

/** What is no page and has no hash in its name: the index of the search. @param {FetchEvent} event @param {string} path */
async function other(event, path) {
  try {
    const response = await fetch(event.request);
    event.waitUntil(remember(path, response.clone()));
    return response;
  } catch {
    return kept(path);
  }
}

/** @param {string} path @returns {Promise<Response>} */
async function kept(path) {
  return await (await caches.open(NAME)).match(path) ?? Response.error();
}

/**
 * Keeps what was read, if it is of this edition; another one says that there is a newer edition.
 * @param {string} path
 * @param {Response} response
 */
async function remember(path, response) {
  const hash = edition.files[path]?.[0];
  if (!response.ok || response.redirected) return;
  if (hash && await hashOf(response.clone()) === hash) await (await caches.open(NAME)).put(path, response);
  else await worker.registration.update().catch(() => {}); // the network went away; the next page asks again
}

/**
 * @template T
 * @param {Promise<T>} promise
 * @param {number} ms 0 waits as long as it takes
 * @returns {Promise<T>}
 */
function inTime(promise, ms) {
  if (!ms) return promise;
  return Promise.race([promise, new Promise((_, refuse) => { setTimeout(() => refuse(new Error('too slow')), ms); })]);
}
