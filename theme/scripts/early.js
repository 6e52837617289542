// @ts-check
// Keeps what a reader changes in a form whose calculator has not come yet, and gives it back once it has. It knows nothing of plates.

/** @typedef {HTMLInputElement | HTMLSelectElement} Control */

/** @param {HTMLElement} root @param {AbortSignal} signal @returns {() => void} makes the changes again, in order, and listens no longer */
export function early(root, signal) {
  const stop = new AbortController();
  /** @type {Map<Control, string>} */
  const changes = new Map();
  for (const kind of ['input', 'change']) {
    root.addEventListener(kind, ({ target }) => {
      if (target instanceof HTMLInputElement || target instanceof HTMLSelectElement) changes.set(target, target.value);
    }, { signal: AbortSignal.any([signal, stop.signal]) });
  }
  return () => {
    stop.abort();
    for (const [control, value] of changes) {
      control.value = value; // the first answer has put the printed one there
      for (const kind of ['input', 'change']) control.dispatchEvent(new Event(kind, { bubbles: true }));
    }
  };
}
