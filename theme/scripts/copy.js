// @ts-check
// The plate's text buttons: copy as link, text, JSON or CSV, reset, print. When the browser refuses to copy, the text
// is shown, selected. The buttons of answer tables are among them. It knows nothing of how the texts are made.

import { localCSV } from './csv.js';
import { embedCode, titleOf } from './embed.js';
import { addToSheet } from './draft.js';
import * as words from '../words/en.json';
import { write } from './readout.js';
import { told } from './refusal.js';
import { say } from './say.js';

/** @typedef {import('./plate.js').Plate} Plate */

/**
 * @param {Plate} plate
 * @param {AbortSignal} signal
 */
export function actions(plate, signal) {
  const bar = /** @type {HTMLElement | null} */ (plate.root.querySelector('[data-actions]'));
  if (!bar) return;
  const status = document.createElement('p');
  status.className = 'plate-status';
  status.setAttribute('role', 'status');
  bar.append(status);
  bar.hidden = false;
  plate.root.addEventListener('click', (event) => {
    const button = event.target instanceof Element ? event.target.closest('[data-action]') : null;
    const action = button instanceof HTMLElement ? button.dataset.action ?? '' : '';
    if (action === 'reset') plate.reset();
    else if (action === 'print') window.print();
    else if (action === 'send' && plate.linkFits && 'share' in navigator) void send(plate, status);
    else if (action === 'copy-link' || action === 'send') plate.linkFits ? void copyText(plate.link, status) : write(status, words.linkTooLong);
    else if (action === 'copy-embed') void copyText(embedCode(plate.root), status);
    else if (action === 'add-sheet') void add(plate, status);
    else if (action.startsWith('copy-')) void copyText(exported(plate, action.slice('copy-'.length)), status);
  }, { signal });
}

/** @param {Plate} plate @param {string} format */
async function exported(plate, format) {
  const text = await plate.ask.exportAs(plate.step.state, format);
  return format.startsWith('csv') ? localCSV(text) : text;
}

/** Puts the plate as it stands on the placement sheet. @param {Plate} plate @param {HTMLElement} status */
async function add(plate, status) {
  const entry = await plate.ask.entry(plate.step.state, plate.step.base, titleOf(plate.root));
  const { error } = JSON.parse(entry);
  if (error) return write(status, say(words.refusedHere, { text: told(error).text }));
  const { text, href } = addToSheet([entry]);
  const link = document.createElement('a');
  link.href = href;
  link.textContent = words.sheetOpen;
  status.replaceChildren(text, ' ', link);
}

/**
 * Hands the link to the phone's own list of ways to send it; where that fails the link is copied.
 * @param {Plate} plate
 * @param {HTMLElement} status
 */
async function send(plate, status) {
  const text = plate.root.querySelector('[data-verdict]')?.textContent ?? '';
  try {
    await navigator.share({ title: document.title, text, url: plate.link });
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') return; // the reader thought better of it
    await copyText(plate.link, status);
  }
}

/**
 * @param {string | Promise<string>} text
 * @param {HTMLElement} status where the outcome is told
 */
export async function copyText(text, status) {
  try {
    await put(text);
    status.replaceChildren(words.copied);
  } catch {
    const box = document.createElement('textarea');
    box.className = 'plate-copy';
    box.readOnly = true;
    box.value = await text;
    box.setAttribute('aria-label', words.copyText);
    status.replaceChildren(words.copyByHand, box);
    box.focus();
    box.select();
  }
}

/** Some browsers copy only in the very task of the press, where a text that is to come can be promised. @param {string | Promise<string>} text */
async function put(text) {
  if (typeof text === 'string' || typeof ClipboardItem !== 'function') return navigator.clipboard.writeText(await text);
  const type = 'text/plain';
  return navigator.clipboard.write([new ClipboardItem({ [type]: text.then((own) => new Blob([own], { type })) })]);
}
