// @ts-check
// Lets a reader move the handles of a drawing with a pointer or the arrow keys, and tells assistive technology what
// each one is and where it stands. Where a handle may go is the engine's business.

import { centreOf, handlesOf, numberOf, onSheet, pull } from './pull.js';
import { roving, stops } from './roving.js';
import * as words from '../words/en.json';

/** @typedef {import('./plate.js').Plate} Plate */

/** Steps of an arrow key; with Shift ten times as many. @type {Record<string, [number, number]>} */
const ARROWS = {
  ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1], PageUp: [0, 10], PageDown: [0, -10],
};

/**
 * @param {HTMLElement} place holds the drawing; it stays while the drawing inside changes
 * @param {Plate} plate
 * @param {AbortSignal} signal
 */
export function handles(place, plate, signal) {
  /** @type {import('./pull.js').Pull | null} */
  let pulled = null;
  roving(place, signal);
  place.addEventListener('pointerdown', (event) => {
    if (!handleOf(event.target) || pulled || event.button > 0) return;
    const group = nearest(place, ...onSheet(place, event));
    if (!group) return;
    pulled = pull(place, plate, group, event);
    if (event.isTrusted) { // else it is done again for a reader who was early, and may be elsewhere by now
      place.setPointerCapture(event.pointerId);
      group.focus({ preventScroll: true });
    }
    event.preventDefault();
  }, { signal });
  place.addEventListener('pointermove', (event) => {
    if (event.pointerId !== pulled?.pointer) return;
    pulled.to(event);
    event.preventDefault();
  }, { signal });
  const release = (/** @type {PointerEvent} */ event) => {
    if (event.pointerId !== pulled?.pointer) return;
    pulled.release();
    pulled = null;
  };
  place.addEventListener('pointerup', release, { signal });
  place.addEventListener('pointercancel', release, { signal });
  place.addEventListener('keydown', (event) => {
    const group = handleOf(event.target);
    const arrow = ARROWS[event.key];
    if (!group || !arrow || event.altKey || event.ctrlKey || event.metaKey) return;
    const times = event.shiftKey && event.key.startsWith('Arrow') ? 10 : 1;
    plate.edit({ kind: 'nudge', handle: numberOf(group), x: arrow[0] * times, y: arrow[1] * times });
    event.preventDefault();
  }, { signal });
}

/** @param {EventTarget | null} target @returns {SVGGElement | null} */
const handleOf = (target) => (target instanceof Element ? target.closest('g[data-handle]') : null);

/**
 * The handle whose middle is closest: where two lie together, their areas overlap and the upper one would always win.
 * @param {HTMLElement} place
 * @param {number} x
 * @param {number} y
 */
function nearest(place, x, y) {
  /** @type {SVGGElement | null} */
  let best = null;
  let least = Infinity;
  for (const group of handlesOf(place)) {
    const [cx, cy] = centreOf(group) ?? [Infinity, Infinity];
    const off = Math.hypot(cx - x, cy - y);
    if (off < least) [best, least] = [group, off];
  }
  return best;
}

/** The name of the handle that has the focus, if one has it. @param {Element} place */
export const inHand = (place) => (place.contains(document.activeElement) && handleOf(document.activeElement)?.getAttribute('aria-label')) || '';

/** What was said of a handle last. @type {WeakMap<Element, import('./readout.js').HandleText>} */
const told = new WeakMap();

/**
 * Makes the handles of a fresh drawing reachable and named. The focus stays with the handle of the same name, though the drawing may
 * count its handles otherwise by now.
 * @param {SVGSVGElement} drawing
 * @param {readonly import('./readout.js').HandleText[]} texts
 * @param {string} [name] of the handle that had the focus before
 */
export function decorate(drawing, texts, name = '') {
  const list = handlesOf(drawing);
  for (const group of list) {
    const text = texts[numberOf(group)];
    if (!text) continue;
    const before = told.get(group);
    if (before?.name !== text.name || before.valuetext !== text.valuetext || before.axes[0]?.now !== text.axes[0]?.now) describe(group, text); // nearly all stay
    if (name && text.name === name && document.activeElement !== group) group.focus({ preventScroll: true });
  }
  if (drawing.parentElement) stops(drawing.parentElement, list);
}

/** @param {SVGGElement} group @param {import('./readout.js').HandleText} text */
function describe(group, text) {
  const [axis] = text.axes;
  told.set(group, text);
  if (!group.hasAttribute('tabindex')) set(group, 'tabindex', '0');
  set(group, 'role', 'slider');
  set(group, 'aria-roledescription', words.handleKind);
  set(group, 'aria-label', text.name);
  set(group, 'aria-valuetext', text.valuetext);
  set(group, 'aria-valuemin', String(axis?.min ?? 0));
  set(group, 'aria-valuemax', String(axis?.max ?? 0));
  set(group, 'aria-valuenow', String(axis?.now ?? 0));
}

/** @param {Element} element @param {string} name @param {string} value */
function set(element, name, value) {
  if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}
