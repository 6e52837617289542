// @ts-check
// The page of the placement sheet: shows the sheet that the browser keeps, that a link holds or that a file brings, and
// takes what is written on it. The engine reads, computes and draws; this module only decides what is shown when.

import * as words from '../words/en.json';
import { draft, draftBefore, keepDraft, keepUnread, clearDraft, parse, takeBack, watchDraft } from './draft.js';
import { drawPart } from './figure.js';
import { holdsText, pack, unpack } from './packed.js';
import { fileDoors } from './sheetfile.js';
import { sheetForm } from './sheetform.js';
import { refusedSheet } from './refusal.js';
import { say } from './say.js';
import { changed, inTurn, unkept } from './unkept.js';
import { download } from './download.js';
import { write } from './readout.js';

/** @typedef {import('./draft.js').Shown} Shown */

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
  let [text, known] = ['', draft()]; // as it is shown, and what was kept when this page looked last
  let guest = false; // a sheet of a link is looked at, and is not the one that is kept
  const then = inTurn();
  /** Whether what is kept is another sheet: its own, beside a guest, or what a page of a later edition wrote and this one cannot show. */
  const another = () => guest || draft() !== known;
  const wait = unkept(root, () => text, (left) => keepUnread(left, text, another()), () => leaveLink(), signal);
  const form = sheetForm(root, (change) => {
    const note = wait(change);
    then(() => {
      if (note.gone) return catchUp();
      const sheet = changed(text, [change]);
      return sheet.entries.length === 0 ? clear() : show(JSON.stringify(sheet), false, false, note);
    }).finally(note.end);
  }, signal);

  /** @param {string} wanted @param {boolean} aside whether it is another sheet @param {boolean} [only] show it, keep nothing @param {import('./unkept.js').Note} [note] of the change in it @returns {Promise<void>} */
  const show = async (wanted, aside, only = false, note) => {
    const shown = /** @type {Shown} */ (JSON.parse(await ask('sheet', wanted, '')));
    if (note?.gone) return catchUp(); // another page may have gone on with it
    if (shown.error && wanted === draft() && takeBack()) await show(draft(), false, true); // a word that nobody had read is worth no sheet
    if (shown.error) return tell(refusedSheet(shown.error));
    text = shown.text;
    drawPart(view, shown.tree);
    form.write(parse(text));
    root.dataset.sheet = 'full';
    pair.hidden = true;
    tell(shown.doubts > 0 ? say(words.sheetDoubts, { count: shown.doubts }) : '');
    if (!only) {
      if (keepDraft(text, aside || another())) leaveLink(); // the one that is kept may have become another meanwhile
      else {
        guest = false;
        tell(words.sheetNotKept);
        const link = await pack(text); // nothing else holds it when the page is read again
        if (link) history.replaceState(history.state, '', link);
      }
    }
    if (!only || wanted === draft()) known = draft();
    offerBefore();
  };
  /** What is kept goes on without the link it came from, which would cover it when the page is read again. */
  const leaveLink = () => {
    [guest, known] = [false, draft()];
    if (holdsText(location.hash)) history.replaceState(history.state, '', location.pathname);
  };
  const offerBefore = () => {
    const held = part('before') === document.activeElement;
    part('before').toggleAttribute('hidden', ['', text].includes(draftBefore()));
    if (held && part('before').hidden) /** @type {HTMLElement | null} */ (root.querySelector('[data-sheet-do="save"]'))?.focus();
  };
  const empty = () => {
    const inside = root.contains(document.activeElement);
    text = '';
    root.dataset.sheet = 'empty';
    offerBefore();
    if (inside) part('before').focus(); // what had the focus is gone
  };
  /** A sheet of another edition may ask for what is gone: it is not shown, and can be taken away. */
  const holdOn = () => {
    text = draft();
    root.dataset.sheet = 'shut';
    tell(`${words.sheetUnread} ${status.textContent}`);
  };
  /** Shows what another page left: a change here would undo it. */
  const catchUp = () => { if (!guest && draft() !== text) return draft() ? show(draft(), false, true) : empty(); };
  const clear = async () => {
    const said = guest ? words.sheetOwnAgain : words.sheetCleared;
    if (!guest) clearDraft();
    leaveLink();
    await catchUp(); // from another's sheet the reader comes back to the one that is kept
    tell(said);
  };
  /** @param {string} other */
  const compare = async (other) => {
    const shown = /** @type {Shown} */ (JSON.parse(await ask('sheet', text, other)));
    if (shown.error) return tell(refusedSheet(shown.error));
    drawPart(pair, shown.tree);
    pair.hidden = false;
    tell(words.sheetCompared);
    pair.scrollIntoView();
  };
  const fromLink = async () => {
    try {
      const linked = await unpack(location.hash);
      if (linked === null) return false;
      await show(linked, true, true);
      guest = text !== draft();
      return true; // also when it was refused: the draft must not cover the reason
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
  window.addEventListener('hashchange', () => then(async () => void await fromLink()), { signal });
  watchDraft(() => then(catchUp), signal);
  offerBefore();
  if (!(await fromLink()) && draft()) {
    await show(draft(), false);
    if (!text) holdOn();
  }
  root.dataset.ready = '';
}
