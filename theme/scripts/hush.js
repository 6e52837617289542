// @ts-check
// Has a sentence told once, when hands and keys rest: a held key or a slider would leave a screen reader with a queue of sentences that
// no longer hold. What changed meanwhile it is not told afterwards, so the sentence is then put in anew. It writes no words of its own.

/** ms: longer than until a held key begins to repeat. */
const REST = 600;

/**
 * @param {Element | null} said once it is a live region; before, nothing is told
 * @param {() => boolean} [held] whether what moves goes on; at its end it calls once more
 * @returns {() => void} called at every step of what moves
 */
export function hush(said, held = () => false) {
  let timer = 0;
  let told = '';
  const rest = () => {
    if (!said || held()) return;
    said.setAttribute('aria-busy', 'false');
    const text = said.textContent ?? '';
    if (text !== told) said.replaceChildren(text);
  };
  return () => {
    if (!said?.hasAttribute('aria-live')) return;
    if (said.getAttribute('aria-busy') !== 'true') told = said.textContent ?? '';
    said.setAttribute('aria-busy', 'true');
    window.clearTimeout(timer);
    timer = window.setTimeout(rest, REST);
  };
}
