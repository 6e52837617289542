// @ts-check
// Keeps what a reader changes in a form whose calculator has not come yet, on the controls themselves, and makes the changes again once
// it has. It knows nothing of plates but that their engine is off until then.

/** @typedef {HTMLInputElement | HTMLSelectElement} Control */

const KINDS = ['input', 'change'];

/** Notes changes from the head of a page on. */
export function noteChanges() {
  let turn = 0;
  for (const kind of KINDS) {
    document.addEventListener(kind, ({ target }) => {
      if (!(target instanceof HTMLInputElement || target instanceof HTMLSelectElement) || !target.closest('[data-engine="off"]')) return;
      target.dataset.early = target.value; // the first answer puts the printed one there
      target.dataset.turn ??= String(turn++);
    }, true);
  }
}

/** @param {Element} root */
export const changedIn = (root) => root.querySelector('[data-early]') !== null;

/** Makes the changes in a form again, in order. @param {Element} root */
export function changeAgain(root) {
  const controls = /** @type {Control[]} */ ([...root.querySelectorAll('[data-early]')]);
  for (const control of controls.sort((a, b) => Number(a.dataset.turn) - Number(b.dataset.turn))) {
    control.value = control.dataset.early ?? '';
    delete control.dataset.early;
    delete control.dataset.turn;
    for (const kind of KINDS) control.dispatchEvent(new Event(kind, { bubbles: true }));
  }
}
