// @ts-check
// Reads a map: under the pointer, and under a cross that the arrow keys move over the focused map. The value stands in
// words below the drawing, and anew when the map changes. What a point means is the engine's business.

import { hush } from './hush.js';
import * as words from '../words/en.json';
import { write } from './readout.js';
import { own } from './sentences.js';

/** @typedef {{ x: number, y: number }} Spot in px of the drawing */

const STEP = 4; // px of an arrow key; with Shift five times as many
const NS = 'http://www.w3.org/2000/svg';
/** @type {Record<string, [number, number]>} */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/**
 * @param {HTMLElement} place holds the drawing
 * @param {import('./plate.js').Plate} plate
 * @param {AbortSignal} signal
 * @returns {() => void} reads the point again, on a map that has changed
 */
export function probe(place, plate, signal) {
  const cross = document.createElementNS(NS, 'svg');
  const lines = cross.appendChild(document.createElementNS(NS, 'path'));
  const line = document.createElement('p');
  cross.classList.add('probe');
  lines.classList.add('probe-cross');
  for (const [name, value] of [['tabindex', '0'], ['role', 'application'], ['aria-label', words.mapPoint]]) cross.setAttribute(name ?? '', value ?? '');
  line.className = 'plate-probe';
  line.setAttribute('aria-live', 'polite');
  place.append(cross);
  place.after(line);
  /** @type {Spot | null} */
  let spot = null;
  let [wanted, reading] = [false, false];
  const hold = hush(line);
  const read = async () => {
    for (reading = true; wanted;) {
      await frame();
      wanted = false;
      if (spot) write(line, await plate.ask.probe(plate.step.state, plate.step.base, spot.x, spot.y).then(own, () => words.engineFailed));
    }
    reading = false;
  };
  /** The cross follows at once, the words one question at a time: what moves meanwhile is read after the answer. */
  const again = () => {
    if (!spot) return;
    cross.setAttribute('viewBox', place.querySelector('svg.figure')?.getAttribute('viewBox') ?? '');
    lines.setAttribute('d', `M${spot.x - 9} ${spot.y}H${spot.x + 9}M${spot.x} ${spot.y - 9}V${spot.y + 9}`);
    wanted = true;
    hold();
    if (!reading) void read();
  };
  /** @param {Spot} to */
  const move = (to) => {
    spot = to;
    again();
  };
  for (const kind of /** @type {const} */ (['pointermove', 'pointerdown'])) { // a finger that taps does not move
    place.addEventListener(kind, (event) => {
      const at = onSheet(place, event);
      if (at && inside(place, at)) move(at);
    }, { signal });
  }
  cross.addEventListener('focus', () => {
    const area = areaOf(place);
    if (area) move(spot ?? { x: area.x + area.width / 2, y: area.y + area.height / 2 });
  }, { signal });
  cross.addEventListener('keydown', (event) => {
    const arrow = ARROWS[event.key];
    const area = areaOf(place);
    if (!arrow || !area || !spot || event.altKey || event.ctrlKey || event.metaKey) return;
    const by = STEP * (event.shiftKey ? 5 : 1);
    move({ x: within(spot.x + arrow[0] * by, area.x, area.width), y: within(spot.y + arrow[1] * by, area.y, area.height) });
    event.preventDefault();
  }, { signal });
  return again;
}

const frame = () => new Promise((resolve) => { requestAnimationFrame(resolve); });

/** @param {number} value @param {number} from @param {number} length */
const within = (value, from, length) => Math.min(Math.max(value, from), from + length);

/** The frame of the map in the drawing. @param {Element} place @returns {DOMRect | null} */
function areaOf(place) {
  const frame = place.querySelector('.heat-frame');
  return frame instanceof SVGGraphicsElement ? frame.getBBox() : null;
}

/** @param {Element} place @param {Spot} at */
function inside(place, at) {
  const area = areaOf(place);
  return area !== null && at.x >= area.x && at.x <= area.x + area.width && at.y >= area.y && at.y <= area.y + area.height;
}

/** @param {Element} place @param {PointerEvent} event @returns {Spot | null} */
function onSheet(place, event) {
  const drawing = place.querySelector('svg.figure');
  const matrix = drawing instanceof SVGGraphicsElement ? drawing.getScreenCTM() : null;
  return matrix && new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
}
