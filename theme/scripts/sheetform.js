// @ts-check
// What a reader writes on a placement sheet: its texts, the joint of each placement, and which placements stay. It knows
// nothing of numbers.

import * as words from '../words/en.json';
import { say } from './say.js';

/** ms: a rest in typing. */
const REST = 1000;

/** @typedef {import('./draft.js').Draft} Draft */
/** @typedef {{ joint?: string, title?: string }} Entry */

/**
 * @param {HTMLElement} root a [data-sheet]
 * @param {(change: (sheet: Draft) => void) => void} edit
 * @param {AbortSignal} signal
 * @returns {{ write: (sheet: Draft) => void }}
 */
export function sheetForm(root, edit, signal) {
  const texts = /** @type {(HTMLInputElement | HTMLTextAreaElement)[]} */ ([...root.querySelectorAll('[data-sheet-text]')]);
  const list = /** @type {HTMLElement} */ (root.querySelector('[data-sheet-joints]'));
  for (const input of texts) {
    const name = input.dataset.sheetText ?? '';
    input.addEventListener('change', () => {
      const text = input.value; // by the time of the edit the field may show what came before it
      edit((sheet) => { sheet[name] = text; });
    }, { signal });
  }
  let timer = 0; // a phone may drop a page whose reader looks at another: what is typed counts before its field is left
  root.addEventListener('input', ({ target }) => {
    if (!(target instanceof HTMLTextAreaElement || (target instanceof HTMLInputElement && target.type === 'text'))) return;
    window.clearTimeout(timer);
    timer = window.setTimeout(() => target.dispatchEvent(new Event('change', { bubbles: true })), REST);
  }, { signal });
  /** @param {Event} event @returns {number} which placement it is about */
  const placeOf = ({ target }) => [...list.children].findIndex((row) => target instanceof Node && row.contains(target));
  list.addEventListener('change', (event) => {
    const at = placeOf(event);
    const joint = event.target instanceof HTMLInputElement ? event.target.value : null;
    if (joint !== null) edit((sheet) => { /** @type {Entry} */ (sheet.entries[at]).joint = joint; });
  }, { signal });
  list.addEventListener('click', (event) => {
    const at = placeOf(event);
    if (event.target instanceof HTMLButtonElement) edit((sheet) => { sheet.entries.splice(at, 1); });
  }, { signal });
  return {
    write(sheet) {
      for (const input of texts) {
        const text = String(sheet[input.dataset.sheetText ?? ''] ?? '');
        put(input, text);
      }
      const inside = list.contains(document.activeElement);
      while (list.children.length > sheet.entries.length) list.lastElementChild?.remove();
      if (inside && !list.contains(document.activeElement)) list.lastElementChild?.querySelector('button')?.focus(); // whose row is gone
      sheet.entries.forEach((entry, i) => fill(list.children[i] ?? list.appendChild(row()), /** @type {Entry} */ (entry), i + 1));
    },
  };
}

/** What is being typed stays. @param {HTMLInputElement | HTMLTextAreaElement} input @param {string} text */
function put(input, text) {
  if (input.value !== text && input !== document.activeElement) input.value = text;
}

function row() {
  const item = document.createElement('li');
  const label = document.createElement('label');
  const input = document.createElement('input');
  input.type = 'text';
  input.maxLength = 120;
  input.autocomplete = 'off';
  const button = document.createElement('button');
  button.type = 'button';
  button.textContent = words.sheetRemove;
  label.append(document.createElement('span'), input);
  item.append(label, button);
  return item;
}

/** @param {Element} item @param {Entry} entry @param {number} number */
function fill(item, entry, number) {
  const input = /** @type {HTMLInputElement} */ (item.querySelector('input'));
  const name = item.querySelector('span');
  if (name) name.textContent = entry.title ? say(words.sheetJointOf, { number, title: entry.title }) : say(words.sheetJoint, { number });
  item.querySelector('button')?.setAttribute('aria-label', say(words.sheetRemoveNamed, { number }));
  put(input, entry.joint ?? '');
}
