// @ts-check
// One pull at a handle, from the press to the release. The sheet on which a pull ends is drawn anew for what it then holds; a hand that is
// faster than that pulls on from where the handle comes to lie, and not from where it lay. Where a handle may go is the engine's business.

/** @typedef {{ handle: number, of: import('./plate.js').Wanted, offX: number, offY: number }} Hold of: what the pull began with */
/** @typedef {{ x: number, y: number }} Spot */
/** @typedef {{ pointer: number, to: (event: PointerEvent) => void, release: () => void }} Pull */

/**
 * @param {HTMLElement} place holds the drawing
 * @param {import('./plate.js').Plate} plate
 * @param {SVGGElement} group the handle that is pulled
 * @param {PointerEvent} press
 * @returns {Pull}
 */
export function pull(place, plate, group, press) {
  const name = group.getAttribute('aria-label') ?? '';
  const number = numberOf(group);
  const from = within(place, press);
  const waits = () => plate.root.matches('[data-waiting]') && !plate.passing;
  let [early, over] = [waits(), false];
  /** @type {Hold | null} nothing while what was asked before is not drawn yet, or where that has no such handle */
  let hold = null;
  /** @type {PointerEvent | null} */
  let last = null;
  /** @type {Spot | null} in the box of the drawing: the page may be scrolled until it is drawn */
  let dropped = null;
  const take = () => {
    const now = (name ? named(handlesOf(place), name) : numbered(place, number)) ?? null; // the drawing may count its handles otherwise by now
    const [fromX, fromY] = onSheet(place, inWindow(place, from));
    const [x, y] = (now && centreOf(now)) ?? [fromX, fromY];
    hold = now && { handle: numberOf(now), of: plate.wanted, offX: x - fromX, offY: y - fromY };
  };
  const go = () => {
    const at = dropped ? inWindow(place, dropped) : last;
    if (!hold || !at) return;
    const [x, y] = onSheet(place, at);
    plate.edit({ kind: 'drag', handle: hold.handle, x: x + hold.offX, y: y + hold.offY }, '', hold.of);
  };
  const drawn = new MutationObserver(() => {
    if (waits()) return;
    drawn.disconnect();
    early = false;
    take();
    plate.moving(true); // one that was begun before may have come to its end meanwhile
    go();
    if (over) plate.moving(false);
  });
  if (early) drawn.observe(plate.root, { attributeFilter: ['data-waiting'] });
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
      dropped = last && within(place, last);
      if (early && last) return;
      drawn.disconnect();
      plate.moving(false);
    },
  };
}

/** @param {Element} place @param {{ clientX: number, clientY: number }} at @returns {Spot} */
function within(place, { clientX, clientY }) {
  const { left, top } = place.getBoundingClientRect();
  return { x: clientX - left, y: clientY - top };
}

/** @param {Element} place @param {Spot} spot */
function inWindow(place, { x, y }) {
  const { left, top } = place.getBoundingClientRect();
  return { clientX: x + left, clientY: y + top };
}

/** @param {SVGGElement} group */
export const numberOf = (group) => Number(group.dataset.handle);

/** The handles of a drawing, in their order. @param {Element} place @returns {SVGGElement[]} */
export const handlesOf = (place) => [...place.querySelectorAll(/** @type {'g'} */ ('g[data-handle]'))];

/** @param {readonly SVGGElement[]} list @param {string} name */
export const named = (list, name) => list.find((group) => group.getAttribute('aria-label') === name);

/** As printed handles, which have no name yet, are counted. @param {Element} place @param {number} number @returns {SVGGElement | null} */
const numbered = (place, number) => place.querySelector(`g[data-handle="${number}"]`);

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
