// @ts-check
// Shows how far long work is, in words and as a bar, with a button that stops it. It knows nothing of the work.

import * as words from '../words/en.json';
import { say } from './say.js';
import { write } from './readout.js';

/** Work that is done sooner, in ms, shows no bar: it would only flash. */
const SOON = 120;

/**
 * @param {Element | null} after what the bar stands behind
 * @param {() => void} cancel
 * @param {AbortSignal} signal
 * @returns {{ show: (done: number, total: number) => void, hide: () => void }}
 */
export function progress(after, cancel, signal) {
  const box = document.createElement('div');
  const line = document.createElement('p');
  const bar = document.createElement('progress');
  const button = document.createElement('button');
  let timer = 0;
  box.className = 'plate-progress';
  bar.setAttribute('aria-label', words.computing);
  button.type = 'button';
  button.textContent = words.cancel;
  button.addEventListener('click', cancel, { signal });
  box.append(line, bar, button);
  /** @type {EventTarget | null} where the focus was before it came to the button */
  let before = null;
  button.addEventListener('focus', ({ relatedTarget }) => { before = relatedTarget; }, { signal });
  return {
    show(done, total) {
      write(line, total > 1 ? say(words.rowsDone, { done, total }) : words.computing);
      if (total > 1) [bar.max, bar.value] = [total, done];
      else bar.removeAttribute('value');
      timer ||= window.setTimeout(() => after?.after(box), SOON);
    },
    hide() {
      window.clearTimeout(timer);
      timer = 0;
      const held = button === document.activeElement;
      box.remove();
      if (held && (before instanceof HTMLElement || before instanceof SVGElement)) before.focus({ preventScroll: true });
    },
  };
}
