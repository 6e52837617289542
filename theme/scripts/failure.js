// @ts-check
// Tells the reader when a script of the page fails: nothing may fail without a word. It repairs nothing.

import * as words from '../words/en.json';

/** A request that was given up, or an observer that is asked again at once, means nothing to a reader. @param {unknown} error @param {string} message */
const harmless = (error, message) =>
  (error instanceof DOMException && error.name === 'AbortError') || message.startsWith('ResizeObserver');

/** Tells it once, in the words of the page. @param {string} said @param {string} again on the button that loads the page anew */
export function tellFailure(said, again) {
  if (document.querySelector('.page-failure')) return;
  const line = document.createElement('p');
  const button = document.createElement('button');
  line.className = 'page-failure';
  line.setAttribute('role', 'alert');
  button.type = 'button';
  button.textContent = again;
  button.addEventListener('click', () => location.reload());
  line.append(said, ' ', button);
  document.body.append(line);
}

/** @param {AbortSignal} signal */
export function tellFailures(signal) {
  const tell = () => tellFailure(words.failureSay, words.failureReload);
  window.addEventListener('error', ({ error, message }) => { if (!harmless(error, message)) tell(); }, { signal });
  window.addEventListener('unhandledrejection', ({ reason }) => { if (!harmless(reason, '')) tell(); }, { signal });
}
