// @ts-check
// Makes many handles of one drawing a single stop of Tab, as a composite widget has it (a roving tabindex): Enter goes to the next handle,
// Shift and Enter to the one before, Home and End to the ends, while the arrow keys move the handle. Each of a few stays a stop of its own.

import * as words from '../words/en.json';
import { say } from './say.js';
import { centreOf, handlesOf, named } from './pull.js';
import { write } from './readout.js';

/** So many handles are each a stop of Tab. */
const FEW = 8;
/** Name of the handle that had the focus last, by the place of its drawing. @type {WeakMap<Element, string>} */
const last = new WeakMap();

/** Where a key leads from a place in the list. @type {Record<string, (at: number, count: number, back: boolean) => number>} */
const LEADS = {
  Enter: (at, count, back) => (at + (back ? count - 1 : 1)) % count, Home: () => 0, End: (_, count) => count - 1,
};

/** @param {HTMLElement} place holds the drawing @param {AbortSignal} signal */
export function roving(place, signal) {
  place.addEventListener('focusin', ({ target }) => {
    if (!(target instanceof Element) || !target.matches('g[data-handle]')) return;
    last.set(place, target.getAttribute('aria-label') ?? '');
    stops(place);
  }, { signal });
  place.addEventListener('keydown', (event) => {
    const list = handlesOf(place);
    const at = list.findIndex((group) => group === event.target);
    const lead = LEADS[event.key];
    if (at < 0 || list.length <= FEW || !lead || event.altKey || event.ctrlKey || event.metaKey || (event.shiftKey && event.key !== 'Enter')) return;
    list[lead(at, list.length, event.shiftKey)]?.focus();
    event.preventDefault();
  }, { signal });
}

/** Decides which handles Tab comes to, and says where there are many how to reach the others. @param {Element} place @param {SVGGElement[]} [list] its handles */
export function stops(place, list = handlesOf(place)) {
  const many = list.length > FEW;
  const stop = named(list, last.get(place) ?? '') ?? list[0];
  const line = many || place.querySelector('.handles-keys') ? keysOf(place) : null;
  if (many) write(line, say(words.handlesKeys, { count: list.length }));
  line?.toggleAttribute('hidden', !many);
  const held = list.find((group) => group === document.activeElement);
  const [, y] = (held && centreOf(held)) ?? [0, 0];
  line?.toggleAttribute('data-high', y > (held?.ownerSVGElement?.viewBox.baseVal.height ?? 0) / 2); // never over the handle that is meant
  for (const group of list) {
    const index = many && group !== stop ? '-1' : '0';
    if (group.getAttribute('tabindex') !== index) group.setAttribute('tabindex', index);
    if (!many) group.removeAttribute('aria-describedby');
    else if (line && !group.hasAttribute('aria-describedby')) group.setAttribute('aria-describedby', line.id);
  }
}

/** The line about the keys, which is seen while a key has led to a handle. @param {Element} place @returns {HTMLElement} */
function keysOf(place) {
  const there = place.querySelector('.handles-keys');
  if (there instanceof HTMLElement) return there;
  const line = document.createElement('p');
  line.className = 'handles-keys';
  line.id = `${place.closest('[id]')?.id ?? ''}-handles`;
  line.lang = document.documentElement.lang; // a drawing's own words are English on every page
  place.append(line);
  return line;
}
