// @ts-check
// The page of progress: saves the record as a file, reads one, forgets it all. A file is read whole or not at all; what it
// holds is only ever data.

import { download } from './download.js';
import { change, FORMAT, load, merge, nothing, readProgress, solved, troubleOf, watch, writeProgress } from './record.js';
import { write } from './readout.js';
import * as words from '../words/en.json';
import { say } from './say.js';

/** Longest file that is read, in bytes. */
const MOST = 1 << 20;

/** @param {HTMLElement} tools the [data-progress-tools] @param {AbortSignal} signal */
export function progressFile(tools, signal) {
  const part = (/** @type {string} */ selector) => /** @type {HTMLElement | null} */ (tools.querySelector(selector));
  const status = part('[data-progress-status]');
  const confirm = part('[data-confirm]');
  const input = /** @type {HTMLInputElement | null} */ (part('[data-read]'));
  const on = (/** @type {string} */ selector, /** @type {() => void} */ act) => part(selector)?.addEventListener('click', act, { signal });
  tools.hidden = false;
  const notice = /** @type {HTMLElement | null} */ (document.querySelector('[data-progress-notice]'));
  watch(() => { // another tab may be of a later edition
    const trouble = troubleOf(load());
    write(notice, trouble);
    notice?.toggleAttribute('hidden', trouble === '');
  }, signal);
  on('[data-save]', () => {
    download(`${FORMAT}.json`, writeProgress(load().progress), 'application/json');
    write(status, words.progressSaved);
  });
  input?.addEventListener('change', async () => {
    const file = input.files?.[0];
    if (!file) return;
    write(status, await read(file));
    input.value = '';
  }, { signal });
  on('[data-forget]', () => {
    const { lessons, exercises } = load().progress;
    const count = [...exercises.values()].filter(solved).length;
    write(part('[data-loss]'), say(words.progressLoss, { lessons: lessons.size, solved: count, tried: exercises.size - count }));
    confirm?.toggleAttribute('hidden', false);
    part('[data-keep]')?.focus();
  });
  const close = (/** @type {string} */ text) => {
    confirm?.toggleAttribute('hidden', true);
    write(status, text);
    part('[data-forget]')?.focus();
  };
  on('[data-keep]', () => close(words.progressStays));
  on('[data-forget-now]', () => {
    change((progress) => Object.assign(progress, nothing()));
    close(load().later ? words.progressLater : words.progressForgotten);
  });
  confirm?.addEventListener('keydown', (event) => event.key === 'Escape' && close(words.progressStays), { signal });
}

/** @param {File} file @returns {Promise<string>} what became of it */
async function read(file) {
  if (file.size > MOST) return words.progressTooLong;
  const text = await file.text().catch(() => null); // told in the next line
  if (text === null) return words.fileUnread;
  const from = readProgress(text);
  if (!from) return words.progressRefused;
  if (!change((progress) => merge(progress, from), true)) return words.progressTooMuch;
  return say(words.progressAdded, { lessons: from.lessons.size, exercises: from.exercises.size });
}
