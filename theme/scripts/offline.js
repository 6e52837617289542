// @ts-check
// Lets the browser keep pages for when there is no network: starts the worker, and, on the page about it, shows what is
// kept and saves or removes the rest. The work itself is in keeping.js and in the worker.

import { kept, keep as choose } from './keep.js';
import { calm } from './calm.js';
import { cacheName, keep, missing, NOTES, PREFIX } from './keeping.js';
import * as words from '../words/en.json';
import { say } from './say.js';

/** Set when the reader wants nothing kept. */
const OFF = 'centrode-keep-nothing';

/** @param {number} bytes */
const megabytes = (bytes) => (bytes / 1e6).toLocaleString(document.documentElement.lang, { minimumFractionDigits: 1, maximumFractionDigits: 1 });

/**
 * Starts the worker once the page has all it needs itself, or ends it where the reader or the site wants none. A page that
 * does not say what the site wants, for other people's frames, leaves all as it is.
 * @param {AbortSignal} signal
 */
export function keepPages(signal) {
  const address = document.body.dataset.offline;
  if (address === undefined || !('serviceWorker' in navigator)) return;
  const start = async () => { // where a host shuts its pages in, the very name of the worker is refused
    if (signal.aborted) return;
    await (address && !kept(OFF) ? navigator.serviceWorker.register(address) : forget());
  };
  void calm().then(start).catch(() => {}); // refused: pages come from the network as ever, and the page about keeping says so
}

/** Ends the worker and removes all that it kept. A preview has none, and must not be shown one from before. */
async function forget() {
  for (const registration of await navigator.serviceWorker.getRegistrations()) await registration.unregister();
  for (const name of await caches.keys()) if (name.startsWith(PREFIX) || name === NOTES) await caches.delete(name);
}

/**
 * The edition that the worker keeps, which is started if it is not: one that was refused would be waited for without end.
 * @returns {Promise<import('./keeping.js').Edition>}
 */
async function edition() {
  const active = await begun(await navigator.serviceWorker.register(document.body.dataset.offline ?? ''));
  const { port1, port2 } = new MessageChannel();
  return new Promise((resolve) => {
    port1.onmessage = ({ data }) => resolve(data);
    active.postMessage('edition', [port2]);
  });
}

/**
 * The worker once it has begun. One that finds no room for what every page needs ends, and would be waited for without end, too.
 * @param {ServiceWorkerRegistration} registration
 * @returns {Promise<ServiceWorker>}
 */
function begun(registration) {
  const coming = registration.installing ?? registration.waiting;
  return new Promise((resolve, refuse) => {
    const look = () => {
      if (registration.active) resolve(registration.active);
      else if (!coming || coming.state === 'redundant') refuse(new Error('the worker could not begin'));
    };
    coming?.addEventListener('statechange', look);
    look();
  });
}

/**
 * The controls on the page about reading without a network.
 * @param {HTMLElement} root a [data-keep]
 * @param {AbortSignal} signal
 */
export function keepControls(root, signal) {
  const part = (/** @type {string} */ name) => /** @type {HTMLElement} */ (root.querySelector(`[data-keep-${name}]`));
  const [state, bar, save, cancel, remove] = ['state', 'bar', 'save', 'cancel', 'remove'].map(part);
  if (!state || !(bar instanceof HTMLProgressElement) || !save || !cancel || !remove) return;
  const tell = (/** @type {string} */ text) => { state.textContent = text; };
  if (!('serviceWorker' in navigator) || !document.body.dataset.offline) return tell(words.offlineUnable);
  /** @type {AbortController | null} */
  let work = null;

  const show = async () => {
    if ([cancel, remove].some((button) => button === document.activeElement)) state.focus(); // it may go, and what it came to stands there
    const off = Boolean(kept(OFF));
    cancel.hidden = bar.hidden = true;
    save.hidden = false;
    remove.hidden = off;
    if (off) return tell(words.offlineNothing);
    const now = await edition();
    const left = await missing(now);
    const size = left.reduce((total, path) => total + (now.files[path]?.[1] ?? 0), 0);
    save.hidden = left.length === 0;
    const pages = Object.keys(now.files).filter((path) => path.endsWith('/'));
    tell(left.length === 0 ? say(words.offlineWhole, { count: pages.length })
      : say(words.offlineSome, { kept: pages.filter((path) => !left.includes(path)).length, pages: pages.length, size: megabytes(size) }));
  };

  const run = async () => {
    work = new AbortController();
    const own = work.signal;
    choose(OFF, '');
    const now = await edition();
    const left = await missing(now);
    bar.max = left.reduce((total, path) => total + (now.files[path]?.[1] ?? 0), 0);
    bar.value = 0;
    cancel.hidden = bar.hidden = false;
    if (document.activeElement === save) cancel.focus();
    save.hidden = remove.hidden = true;
    for (const path of left) {
      tell(say(words.offlineSaving, { done: megabytes(bar.value), all: megabytes(bar.max) }));
      await keep(now, path, { signal: own });
      bar.value += now.files[path]?.[1] ?? 0;
    }
    await (await caches.open(NOTES)).put('/whole', new Response(cacheName(now)));
  };

  const told = (/** @type {() => Promise<void>} */ job) => void job().then(show).catch(async (error) => {
    if (error instanceof DOMException && error.name === 'SecurityError') return tell(words.offlineUnable);
    const stopped = work?.signal.aborted;
    await show().catch(() => {}); // then nothing is known but the trouble, which is told
    tell(`${stopped ? words.offlineStopped : words.offlineFailed} ${state.textContent}`);
  });
  save.addEventListener('click', () => told(run), { signal });
  cancel.addEventListener('click', () => work?.abort(), { signal });
  remove.addEventListener('click', () => told(async () => {
    choose(OFF, '1');
    await forget();
  }), { signal });
  root.hidden = false;
  told(async () => {});
}
