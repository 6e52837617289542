// @ts-check
// Hands on the drawing: one finger or the pointer moves the candidate by its diamond, picks a joint by a tap, or turns the
// view; two fingers move and enlarge it. Arrow keys move the diamond. What that does to a state is the owner's business.

import { add, dot, length, unitAlong } from './camera.js';

/** @typedef {import('./roomstate.js').Vec} Vec */

/** A tap moves less, px. */
const STILL = 5;
/** Radians a px. */
const TURN = 0.008;
/** Steps of the keys, cm: to the right, upward, toward the reader; with Shift ten times as many. @type {Record<string, Vec>} */
const KEYS = {
  ArrowLeft: [-0.1, 0, 0], ArrowRight: [0.1, 0, 0], ArrowUp: [0, 0.1, 0], ArrowDown: [0, -0.1, 0], PageUp: [0, 0, -0.1], PageDown: [0, 0, 0.1],
};

/**
 * @param {HTMLElement} stage
 * @param {import('./roomview.js').RoomView} view
 * @param {import('./roomview.js').Owner} owner
 * @param {AbortSignal} signal
 */
export function grips(stage, view, owner, signal) {
  /** @type {Map<number, [number, number]>} */
  const held = new Map();
  let [gesture, far, moving, kind] = [0, 0, false, 'turn'];
  const place = (/** @type {PointerEvent | WheelEvent} */ event) => {
    const box = stage.getBoundingClientRect();
    return /** @type {[number, number]} */ ([event.clientX - box.left, event.clientY - box.top]);
  };

  stage.addEventListener('pointerdown', (event) => {
    held.set(event.pointerId, place(event));
    stage.setPointerCapture(event.pointerId);
    if (held.size > 1) {
      kind = 'pan';
      return;
    }
    const handle = event.target instanceof Element ? event.target.closest('g[data-handle]') : null;
    [far, moving] = [0, false];
    gesture++;
    kind = handle && event.button === 0 ? 'pivot' : event.button > 0 || event.shiftKey ? 'pan' : 'turn';
    if (handle instanceof SVGElement) handle.focus({ preventScroll: true });
    if (kind === 'pivot') stage.toggleAttribute('data-moving', true);
    event.preventDefault();
  }, { signal });

  stage.addEventListener('pointermove', (event) => {
    const before = held.get(event.pointerId);
    if (!before) return;
    const now = place(event);
    const [dx, dy] = [now[0] - before[0], now[1] - before[1]];
    far += Math.hypot(dx, dy);
    moving ||= far > STILL;
    if (kind === 'pivot') owner.pivot(meant(view, view.camera.space(dx, dy)), `drag ${gesture}`); // drawn when it is posed
    else if (kind === 'turn' && moving) view.camera.turn(-dx * TURN, dy * TURN);
    else if (kind === 'pan') {
      const other = [...held].find(([id]) => id !== event.pointerId)?.[1];
      view.camera.pan(dx / held.size, dy / held.size);
      if (other) {
        const spread = ([x, y] = now) => Math.max(Math.hypot(x - other[0], y - other[1]), 10);
        view.camera.zoom(spread(now) / spread(before), ...view.local((now[0] + other[0]) / 2, (now[1] + other[1]) / 2));
      }
    }
    held.set(event.pointerId, now);
    if (kind !== 'pivot') view.wait();
  }, { signal });

  const release = (/** @type {PointerEvent} */ event) => {
    const at = held.get(event.pointerId);
    if (!at || !held.delete(event.pointerId) || held.size > 0) return;
    stage.toggleAttribute('data-moving', false);
    owner.rest(); // also when a second finger took over what began as a drag
    if (kind === 'turn' && !moving && event.type === 'pointerup') owner.joint(...view.sight(...at));
  };
  stage.addEventListener('pointerup', release, { signal });
  stage.addEventListener('pointercancel', release, { signal });
  stage.addEventListener('contextmenu', (event) => event.preventDefault(), { signal });

  // A plain wheel scrolls the page; a pinch on a pad comes as one with Ctrl.
  stage.addEventListener('wheel', (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    view.camera.zoom(Math.exp(-event.deltaY * 0.01), ...view.local(...place(event)));
    view.wait();
  }, { signal, passive: false });

  stage.addEventListener('keydown', (event) => {
    const step = KEYS[event.key];
    const handle = event.target instanceof Element && event.target.closest('g[data-handle]');
    if (!handle || !step || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const [right, up, toward] = view.camera.basis;
    const times = event.shiftKey ? 10 : 1;
    const by = /** @type {Vec} */ ([0, 1, 2].map((i) => times * (step[0] * (right[i] ?? 0) + step[1] * (up[i] ?? 0) + step[2] * (toward[i] ?? 0))));
    owner.pivot(along(view, by, step, times), 'keys');
  }, { signal });
  stage.addEventListener('focusout', () => owner.rest(), { signal });
}

/** What of a movement counts: all of it, or its part along an axis. @param {import('./roomview.js').RoomView} view @param {Vec} by @returns {Vec} */
function meant(view, by) {
  const axis = unitAlong(view.shown?.state.drag ?? '');
  if (length(axis) === 0) return by;
  // How far along the axis the hand went, as the axis lies on the sheet; one seen end-on cannot be followed.
  const [right, up] = view.camera.basis;
  const [ax, ay] = [dot(axis, right), dot(axis, up)];
  const seen = ax * ax + ay * ay;
  const far = seen < 0.01 ? 0 : (dot(by, right) * ax + dot(by, up) * ay) / seen;
  return /** @type {Vec} */ (axis.map((x) => x * far));
}

/** A key's step; along an axis each key is a step of it. @param {import('./roomview.js').RoomView} view @param {Vec} by @param {Vec} step @param {number} times @returns {Vec} */
function along(view, by, step, times) {
  const axis = unitAlong(view.shown?.state.drag ?? '');
  return length(axis) === 0 ? by : add([0, 0, 0], axis, times * (step[0] + step[1] - step[2]));
}
