// @ts-check
// One pull at a handle, from the press to the release. The sheet on which a pull ends is drawn anew for what it then holds; a hand that is
// faster than that pulls on from where the handle comes to lie, and not from where it lay. Where a handle may go is the engine's business.

/** @typedef {{ handle: number, of: import('./plate.js').Wanted, offX: number, offY: number }} Hold of: what the pull began with */
/** @typedef {{ pointer: number, to: (event: PointerEvent) => void, release: () => void }} Pull */

/**
 * @param {HTMLElement} place holds the drawing
 * @param {import('./plate.js').Plate} plate
 * @param {SVGGElement} group the handle that is pulled
 * @param {PointerEvent} press
 * @returns {Pull}
 */
export function pull(place, plate, group, press) {
  const { left, top } = place.getBoundingClientRect();
  const name = group.getAttribute('aria-label') ?? '';
  let over = false;
  /** @type {Hold | null} nothing while what was asked before is not drawn yet */
  let hold = null;
  /** @type {PointerEvent | null} */
  let last = null;
  const waits = () => plate.root.matches('[data-waiting]');
  const take = () => {
    const now = named(place, name) ?? group; // the drawing may count its handles otherwise by now
    const box = place.getBoundingClientRect(); // the page may have been scrolled
    const [fromX, fromY] = onSheet(place, { clientX: press.clientX - left + box.left, clientY: press.clientY - top + box.top });
    const [x, y] = centreOf(now) ?? [fromX, fromY];
    hold = { handle: numberOf(now), of: plate.wanted, offX: x - fromX, offY: y - fromY };
  };
  const go = () => {
    if (!hold || !last) return;
    const [x, y] = onSheet(place, last);
    plate.edit({ kind: 'drag', handle: hold.handle, x: x + hold.offX, y: y + hold.offY }, '', hold.of);
  };
  const drawn = new MutationObserver(() => {
    if (waits()) return;
    drawn.disconnect();
    take();
    go();
    if (over) plate.moving(false);
  });
  if (waits()) drawn.observe(plate.root, { attributeFilter: ['data-waiting'] });
  else take();
  plate.moving(true);
  return {
    pointer: press.pointerId,
    to(event) {
      last = event;
      go();
    },
    release() {
      over = true;
      if (hold || !last) {
        drawn.disconnect();
        plate.moving(false);
      }
    },
  };
}

/** @param {SVGGElement} group */
export const numberOf = (group) => Number(group.dataset.handle);

/** @param {Element} place @param {string} name */
const named = (place, name) => [.../** @type {NodeListOf<SVGGElement>} */ (place.querySelectorAll('g[data-handle]'))].find((group) => group.getAttribute('aria-label') === name);

/**
 * A pointer's place in the drawing's own units.
 * @param {HTMLElement} place
 * @param {{ clientX: number, clientY: number }} at
 * @returns {[number, number]}
 */
export function onSheet(place, { clientX, clientY }) {
  const matrix = place.querySelector('svg')?.getScreenCTM();
  if (!matrix) return [NaN, NaN];
  const { x, y } = new DOMPoint(clientX, clientY).matrixTransform(matrix.inverse());
  return [x, y];
}

/**
 * Where a handle's marker is drawn, so that it does not jump under a pointer that grips it beside its middle.
 * @param {Element} group
 * @returns {[number, number] | null}
 */
export function centreOf(group) {
  const hit = group.querySelector('circle.handle-hit');
  return hit instanceof SVGCircleElement ? [hit.cx.baseVal.value, hit.cy.baseVal.value] : null;
}
