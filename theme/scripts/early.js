// @ts-check
// Keeps what a reader does to a plate whose calculator has not come yet, on the elements themselves, and does it again once it has:
// changes in a form, and a handle that is pulled. It knows nothing of plates but that their engine is off until then.

/** @typedef {HTMLInputElement | HTMLSelectElement} Control */
/** @typedef {{ handle: string, pointer: number, pointerType: string, grip: Spot, to: Spot, moved: boolean, held: boolean }} Pull grip: from the handle's middle; to: in the box of the drawing */
/** @typedef {{ x: number, y: number }} Spot px */

const KINDS = ['input', 'change'];

/** Notes what is done, from the head of a page on. */
export function noteChanges() {
  let turn = 0;
  for (const kind of KINDS) {
    document.addEventListener(kind, ({ target }) => {
      if (!(target instanceof HTMLInputElement || target instanceof HTMLSelectElement) || !target.closest('[data-engine="off"]')) return;
      target.dataset.early = target.value; // the first answer puts the printed one there
      target.dataset.turn ??= String(turn++);
    }, true);
  }
  document.addEventListener('pointerdown', (event) => {
    const handle = event.target instanceof Element ? event.target.closest('g[data-handle]') : null;
    const place = /** @type {HTMLElement | null | undefined} */ (handle?.closest('[data-engine="off"]:not([data-waiting]) [data-figure]')); // a plate that waits is wired, and takes the pull itself
    if (handle instanceof SVGElement && place && event.button === 0) notePull(place, handle, event);
  }, true);
}

/** @param {HTMLElement} place holds the drawing @param {SVGElement} handle @param {PointerEvent} pressed */
function notePull(place, handle, { pointerId: pointer, pointerType, clientX, clientY }) {
  const middle = middleOf(handle);
  /** @type {Pull} */
  const pull = { handle: handle.dataset.handle ?? '', pointer, pointerType, grip: { x: clientX - middle.x, y: clientY - middle.y }, to: { x: 0, y: 0 }, moved: false, held: true };
  const over = new AbortController();
  const note = (/** @type {PointerEvent} */ event) => {
    if (event.pointerId !== pointer) return;
    if (event.type === 'pointercancel' || !place.closest('[data-engine="off"]')) { // the page was scrolled, or the plate has taken over
      delete place.dataset.pull;
      return over.abort();
    }
    const box = place.getBoundingClientRect();
    pull.to = { x: event.clientX - box.left, y: event.clientY - box.top };
    pull.moved ||= event.type === 'pointermove';
    pull.held = event.type !== 'pointerup';
    place.dataset.pull = JSON.stringify(pull);
    if (!pull.held) over.abort();
  };
  place.setPointerCapture(pointer);
  for (const kind of /** @type {const} */ (['pointermove', 'pointerup', 'pointercancel'])) place.addEventListener(kind, note, { signal: over.signal });
  place.dataset.pull = JSON.stringify(pull);
}

/** @param {Element} handle @returns {Spot} in the window */
function middleOf(handle) {
  const { left, top, width, height } = (handle.querySelector('.handle-hit') ?? handle).getBoundingClientRect();
  return { x: left + width / 2, y: top + height / 2 };
}

/** @param {Element} root */
export const changedIn = (root) => root.querySelector('[data-early], [data-pull]') !== null;

/** Does it again, in a form and in order, then with a handle. @param {Element} root */
export function changeAgain(root) {
  const controls = /** @type {Control[]} */ ([...root.querySelectorAll('[data-early]')]);
  for (const control of controls.sort((a, b) => Number(a.dataset.turn) - Number(b.dataset.turn))) {
    control.value = control.dataset.early ?? '';
    delete control.dataset.early;
    delete control.dataset.turn;
    for (const kind of KINDS) control.dispatchEvent(new Event(kind, { bubbles: true }));
  }
  for (const place of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll('[data-pull]'))) {
    const pull = /** @type {Pull} */ (JSON.parse(place.dataset.pull ?? ''));
    delete place.dataset.pull;
    if (pull.held || pull.moved) pullAgain(place, pull);
  }
}

/** The drawing is laid out anew by now: the handle is gripped where it is, and let go where it was let go. @param {HTMLElement} place @param {Pull} pull */
function pullAgain(place, { handle: number, pointer: pointerId, pointerType, grip, to, moved, held }) {
  const handle = /** @type {SVGElement | null} */ (place.querySelector(`g[data-handle="${CSS.escape(number)}"]`));
  if (!handle) return;
  const send = (/** @type {string} */ kind, /** @type {number} */ clientX, /** @type {number} */ clientY) =>
    handle.dispatchEvent(new PointerEvent(kind, { bubbles: true, cancelable: true, pointerId, pointerType, clientX, clientY }));
  const middle = middleOf(handle);
  const box = place.getBoundingClientRect();
  if (held) handle.focus({ preventScroll: true });
  send('pointerdown', middle.x + grip.x, middle.y + grip.y);
  if (moved) send('pointermove', box.left + to.x, box.top + to.y);
  if (!held) send('pointerup', box.left + to.x, box.top + to.y);
}
