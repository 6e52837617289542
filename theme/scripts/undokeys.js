// @ts-check
// The platform's own keys for undo and redo, wherever nobody is typing: fields have an undo of their own.

/**
 * @param {EventTarget} place where the keys count
 * @param {(which: 'undo' | 'redo') => void} go
 * @param {AbortSignal} signal
 */
export function undoKeys(place, go, signal) {
  place.addEventListener('keydown', (event) => {
    if (!(event instanceof KeyboardEvent) || !(event.ctrlKey || event.metaKey) || event.altKey || event.defaultPrevented || typing(event.target)) return;
    const key = event.key.toLowerCase();
    if (key === 'z') go(event.shiftKey ? 'redo' : 'undo');
    else if (key === 'y' && event.ctrlKey) go('redo');
    else return;
    event.preventDefault();
  }, { signal });
}

/** Whether a text field has an edit of its own to take back, or a dialog lies over the page. @param {EventTarget | null} target */
function typing(target) {
  return target instanceof HTMLTextAreaElement || (target instanceof HTMLInputElement && target.type === 'text' && target.value !== target.defaultValue)
    || (target instanceof Element && target.closest('dialog') !== null);
}

/**
 * Shows a text that counts: what a field holds besides is its reader's own edit, and the keys are left to it.
 * @param {HTMLInputElement | HTMLSelectElement} control
 * @param {string} text
 */
export function settle(control, text) {
  if (control.value !== text) control.value = text;
  if (control instanceof HTMLInputElement && control.defaultValue !== text) control.defaultValue = text;
}
