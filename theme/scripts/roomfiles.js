// @ts-check
// Brings files in: chosen, dropped anywhere on the page, or one of the cast's. It reads bytes and names, refuses what is
// too large before reading it, and knows nothing of formats.

import * as words from '../words/en.json';
import { say } from './say.js';

/** Files by name, the character first; joint: the one to begin with, purpose: what can be tried, where they are known. @typedef {{ names: string[], datas: Uint8Array[], joint?: string, purpose?: string }} Bundle */

/** MB that are read; beyond it a page's memory runs out before anything is seen. */
const LIMIT = 256;

/** The character first, then what it asks for. @param {readonly File[]} files @returns {Promise<Bundle>} refused in words */
async function gather(files) {
  const all = [...files].sort((a, b) => Number(/\.gl(b|tf)$/i.test(b.name)) - Number(/\.gl(b|tf)$/i.test(a.name)));
  if (!all[0] || !/\.gl(b|tf)$/i.test(all[0].name)) throw new Error(say(words.roomNotCharacter, { names: all.map(({ name }) => name).join(', ') }));
  let left = LIMIT * 1e6;
  for (const { name, size } of all) {
    left -= size;
    if (left < 0) throw new Error(say(words.roomTooLarge, { name, limit: LIMIT }));
  }
  const datas = await Promise.all(all.map((file) => file.arrayBuffer().then((data) => new Uint8Array(data), () => {
    throw new Error(say(words.roomUnread, { name: file.name }));
  })));
  return { names: all.map(({ name }) => name), datas };
}

/**
 * @param {HTMLElement} root a [data-room]
 * @param {{ open: (bundle: Bundle) => void, second: (bundle: Bundle) => void, refuse: (text: string) => void }} room
 * @param {AbortSignal} signal
 * @returns {(bundle: Promise<Bundle>) => void} opens a character that is on its way in
 */
export function files(root, room, signal) {
  let newest = 0;
  /** What a reader asked for last is opened, though what came before may be read later. @param {Promise<Bundle>} bundle */
  const open = (bundle) => {
    const own = ++newest;
    bundle.then((read) => own === newest && room.open(read), (error) => own === newest && room.refuse(error.message));
  };
  const take = (/** @type {readonly File[]} */ list, /** @type {'open' | 'second'} */ as) => {
    if (list.length === 0) return;
    if (as === 'open') open(gather(list));
    else gather(list).then(room.second, (error) => room.refuse(error.message));
  };
  for (const [name, as] of /** @type {const} */ ([['file', 'open'], ['second', 'second']])) {
    const input = /** @type {HTMLInputElement | null} */ (root.querySelector(`input[data-${name}]`));
    input?.addEventListener('change', () => {
      take([...(input.files ?? [])], as);
      input.value = ''; // the same file may be chosen again, mended
    }, { signal });
    root.querySelector(`[data-do="${name === 'file' ? 'choose' : name}"]`)?.addEventListener('click', () => input?.click(), { signal });
  }
  for (const button of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll('[data-cast]'))) {
    button.addEventListener('click', () => open(fetchCast(button)), { signal });
  }
  document.addEventListener('dragover', (event) => {
    if (!event.dataTransfer?.types.includes('Files')) return;
    event.preventDefault();
    root.toggleAttribute('data-over', true);
  }, { signal });
  document.addEventListener('dragleave', (event) => {
    if (event.relatedTarget === null) root.toggleAttribute('data-over', false);
  }, { signal });
  document.addEventListener('drop', (event) => {
    if (!event.dataTransfer?.types.includes('Files')) return;
    event.preventDefault();
    root.toggleAttribute('data-over', false);
    const second = event.target instanceof Element && event.target.closest('.room-targets');
    take([...event.dataTransfer.files], second ? 'second' : 'open');
  }, { signal });
  return open;
}

/** @param {HTMLElement} button a [data-cast] @returns {Promise<Bundle>} refused in words */
export async function fetchCast({ dataset: { cast = '', name = '', flawed = '', purpose = '' } }) {
  try {
    const response = await fetch(cast);
    if (!response.ok) throw new Error();
    return { names: [name], datas: [new Uint8Array(await response.arrayBuffer())], joint: flawed, purpose };
  } catch {
    throw new Error(say(words.roomUnread, { name }));
  }
}
