// @ts-check
// The platform's own keys for undo and redo, wherever nobody is typing: fields have an undo of their own.

/** @param {(which: 'undo' | 'redo') => void} go @param {AbortSignal} signal */
export function historyKeys(go, signal) {
  document.addEventListener('keydown', (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || event.defaultPrevented) return;
    if (event.target instanceof Element && event.target.closest('input[type="text"], textarea, dialog')) return;
    const key = event.key.toLowerCase();
    if (key === 'z') go(event.shiftKey ? 'redo' : 'undo');
    else if (key === 'y' && event.ctrlKey) go('redo');
    else return;
    event.preventDefault();
  }, { signal });
}
