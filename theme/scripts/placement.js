// @ts-check
// The page of the placement sheet: shows the sheet that the browser keeps, that a link holds or that a file brings, and
// takes what is written on it. The engine reads, computes and draws; this module only decides what is shown when.

import * as words from '../words/en.json';
import { draft, draftBefore, keepDraft, clearDraft, parse } from './draft.js';
import { drawPart } from './figure.js';
import { pack, unpack } from './packed.js';
import { sheetForm } from './sheetform.js';
import { say } from './say.js';
import { download } from './download.js';
import { write } from './readout.js';

/** @typedef {{ error?: { field: string, text: string }, text: string, doubts: number, tree: import('./figure.js').Element_ }} Shown */

const MOST = 1 << 20;

/**
 * @param {HTMLElement} root a [data-sheet]
 * @param {() => Promise<import('./calculators.js').Ask | null>} getAsk
 * @param {(text: string, status: HTMLElement) => Promise<void>} copy
 * @param {AbortSignal} signal
 */
export async function placementSheet(root, getAsk, copy, signal) {
  const part = (/** @type {string} */ name) => /** @type {HTMLElement} */ (root.querySelector(`[data-sheet-${name}]`));
  const [view, pair, status] = [part('view'), part('pair'), part('status')];
  const tell = (/** @type {string} */ text) => write(status, text);
  const ask = await getAsk();
  if (!ask) return tell(words.engineFailed);
  let text = '';
  /** What was done last: each waits for the one before, and changes what that one left. */
  let done = Promise.resolve();
  const then = (/** @type {() => void | Promise<void>} */ act) => { done = done.then(act, act); };
  const form = sheetForm(root, (change) => then(() => {
    const sheet = parse(text);
    change(sheet);
    return sheet.entries.length === 0 ? clear() : show(JSON.stringify(sheet), false);
  }), signal);

  /** @param {string} wanted @param {boolean} another whether it is another sheet @param {boolean} [only] look at it, keep nothing */
  const show = async (wanted, another, only = false) => {
    const shown = /** @type {Shown} */ (JSON.parse(await ask('sheet', wanted, '')));
    if (shown.error) return tell(refusal(shown.error.field, shown.error.text));
    text = shown.text;
    drawPart(view, shown.tree);
    form.write(parse(text));
    root.dataset.sheet = 'full';
    pair.hidden = true;
    tell(shown.doubts > 0 ? say(words.sheetDoubts, { count: shown.doubts }) : '');
    if (!only && !keepDraft(text, another)) tell(words.sheetNotKept);
    offerBefore();
  };
  const offerBefore = () => part('before').toggleAttribute('hidden', ['', text].includes(draftBefore()));
  const clear = () => {
    clearDraft();
    text = '';
    root.dataset.sheet = 'empty';
    tell(words.sheetCleared);
    offerBefore();
  };
  /** @param {string} other */
  const compare = async (other) => {
    const shown = /** @type {Shown} */ (JSON.parse(await ask('sheet', text, other)));
    if (shown.error) return tell(refusal(shown.error.field, shown.error.text));
    drawPart(pair, shown.tree);
    pair.hidden = false;
    tell(words.sheetCompared);
    pair.scrollIntoView();
  };
  const fromLink = async () => {
    try {
      const linked = await unpack(location.hash);
      if (linked !== null) await show(linked, true, true);
      return linked !== null; // also when it was refused: the draft must not cover the reason
    } catch {
      tell(words.sheetLinkRefused);
      return true;
    }
  };

  /** @type {Record<string, () => void>} */
  const does = {
    save: () => download('placement-sheet.json', `${text}\n`, 'application/json'),
    link: () => void pack(text).then((fragment) => {
      if (!fragment) return tell(words.sheetLinkTooLong);
      history.replaceState(history.state, '', fragment);
      return copy(location.href, status);
    }),
    print: () => window.print(),
    clear: () => then(clear),
    before: () => then(() => show(draftBefore(), true)),
  };
  root.addEventListener('click', ({ target }) => {
    const what = target instanceof Element ? target.closest('[data-sheet-do]') : null;
    if (what instanceof HTMLElement) does[what.dataset.sheetDo ?? '']?.();
  }, { signal });
  fileDoors(root, { open: (read) => then(() => show(read, true)), other: (read) => then(() => compare(read)) }, tell, signal);
  window.addEventListener('hashchange', () => void fromLink(), { signal });
  offerBefore();
  if (!(await fromLink()) && draft()) await show(draft(), false);
  root.dataset.ready = '';
}

/**
 * The ways by which a file comes in: two choosers, and dropping anywhere on the page; on the chooser of the second opinion it
 * is that.
 * @param {HTMLElement} root
 * @param {{ open: (text: string) => void, other: (text: string) => void }} doors
 * @param {(text: string) => void} tell
 * @param {AbortSignal} signal
 */
function fileDoors(root, doors, tell, signal) {
  /** @param {ArrayLike<File>} files @param {'open' | 'other'} door */
  const take = async (files, door) => {
    if (files.length > 1) return tell(words.sheetOneFile);
    const file = files[0];
    if (!file) return;
    if (file.size > MOST) return tell(words.sheetFileTooLong);
    try {
      doors[door](await file.text());
    } catch {
      tell(words.fileUnread); // a folder, or a file that is gone
    }
  };
  for (const door of /** @type {const} */ (['open', 'other'])) {
    const input = /** @type {HTMLInputElement} */ (root.querySelector(`[data-sheet-${door}]`));
    input.addEventListener('change', () => {
      void take([...(input.files ?? [])], door);
      input.value = ''; // the same file may be chosen again, mended
    }, { signal });
  }
  document.addEventListener('dragover', (event) => {
    if (event.dataTransfer?.types.includes('Files')) event.preventDefault();
  }, { signal });
  document.addEventListener('drop', (event) => {
    if (!event.dataTransfer?.types.includes('Files')) return;
    event.preventDefault();
    const second = event.target instanceof Element && event.target.closest('.sheet-file')?.querySelector('[data-sheet-other]');
    void take(event.dataTransfer.files, second ? 'other' : 'open');
  }, { signal });
}

/** @param {string} field @param {string} text */
const refusal = (field, text) => (field ? say(words.sheetRefusedAt, { field, text }) : say(words.sheetRefused, { text }));
