// @ts-check
// Tells the reader when a script of the page fails: nothing may fail without a word. It repairs nothing.

import * as words from '../words/en.json';

/** A request that was given up, or an observer that is asked again at once, means nothing to a reader. @param {unknown} error @param {string} message */
const harmless = (error, message) =>
  (error instanceof DOMException && error.name === 'AbortError') || message.startsWith('ResizeObserver');

/** @param {AbortSignal} signal */
export function tellFailures(signal) {
  const tell = () => {
    if (document.querySelector('.page-failure')) return;
    const line = document.createElement('p');
    const button = document.createElement('button');
    line.className = 'page-failure';
    line.setAttribute('role', 'alert');
    button.type = 'button';
    button.textContent = words.failureReload;
    button.addEventListener('click', () => location.reload(), { signal });
    line.append(words.failureSay, ' ', button);
    document.body.append(line);
  };
  window.addEventListener('error', ({ error, message }) => { if (!harmless(error, message)) tell(); }, { signal });
  window.addEventListener('unhandledrejection', ({ reason }) => { if (!harmless(reason, '')) tell(); }, { signal });
}
