// @ts-check
// Carries a move out: first in words what will change, what could be lost and what cannot be done as asked, then, once a reader has said so, the new
// file, the change as JSON and the entry of a placement sheet as downloads. A later edit of the pivot takes the plan away.

import * as words from '../words/en.json';
import { download } from './download.js';
import { addToSheet } from './draft.js';
import { write } from './readout.js';
import { printTable, printTexts, refusals } from './roomread.js';
import { say } from './say.js';
import { readLength } from './units.js';

/** @typedef {{ will: string[], lose: string[], notes: string[], rows: { joint: string, was: string[], is: string[] }[] }} Plan */

const heads = [words.roomJoint, words.roomWas, words.roomWasTurned, words.roomIs, words.roomIsTurned];

/**
 * @param {HTMLElement} root a [data-room]
 * @param {import('./desk.js').Desk} desk
 * @param {AbortSignal} signal
 */
export function carryOut(root, desk, signal) {
  const place = root.querySelector('[data-plan]');
  const agree = /** @type {HTMLInputElement | null} */ (root.querySelector('[data-agree]'));
  const together = /** @type {HTMLInputElement | null} */ (root.querySelector('[data-out="together"]'));
  const status = root.querySelector('[data-status]');
  const takes = /** @type {HTMLButtonElement[]} */ (['glb', 'change', 'sheet'].map((name) => root.querySelector(`[data-do="${name}"]`)).filter(Boolean));
  /** @type {unknown[]} the question that the plan answers */
  let asked = [];
  let edits = 0;

  /** The other joints that have a candidate. */
  const others = () => {
    const { now, state } = desk;
    return now && state ? now.scene.joints.flatMap(({ id, name }) => (id !== state.joint && state.pivots[id] ? [{ joint: id, name, pivot: state.pivots[id] }] : [])) : [];
  };

  /** Offers to move the others too, where there are some. */
  const offer = () => {
    const list = others();
    if (together && list.length === 0) together.checked = false;
    together?.closest('[data-together]')?.toggleAttribute('hidden', list.length === 0);
    write(root.querySelector('[data-together] span'), say(words.roomTogether, { others: list.map(({ name }) => name).join(', ') }));
  };

  const forget = () => {
    edits++;
    asked = [];
    place?.toggleAttribute('hidden', true);
    write(status, '');
    if (agree) agree.checked = false;
    for (const button of takes) button.disabled = true;
    offer();
  };

  /** Says which of them are not in the file. @returns {string[]} */
  const left = () => {
    const list = together?.checked ? [] : others();
    if (list.length === 0) return [];
    return [say(words.roomOthers, { joint: desk.now?.scene.joints[desk.state?.joint ?? 0]?.name ?? '', count: list.length, others: list.map(({ name }) => name).join(', ') })];
  };

  const option = (/** @type {string} */ name) => /** @type {HTMLInputElement | HTMLSelectElement | null} */ (root.querySelector(`[data-out="${name}"]`))?.value ?? '';

  /** How far a segment may stray, in cm; 0 where nothing is said. */
  const within = () => {
    const given = option('within').trim();
    if (!given || option('animation') === 'leave') return 0;
    const cm = readLength(given, desk.state?.unit ?? 'cm');
    if (Number.isNaN(cm)) throw new Error(say(words.roomNotNumber, { given }));
    return cm;
  };

  const show = async () => {
    const { ask } = desk;
    if (!ask?.candidate) throw new Error(words.roomNoMove);
    const question = [ask, option('orient'), option('animation'), within(), together?.checked ? others() : []];
    forget();
    const before = edits;
    /** @type {Plan} */
    const plan = JSON.parse(await desk.call('plan', ...question));
    if (edits !== before) return; // it is about what no longer stands
    asked = question;
    printTexts(root.querySelector('[data-will]'), plan.will);
    printTexts(root.querySelector('[data-lose]'), plan.lose);
    printTexts(root.querySelector('[data-notes]'), plan.notes, left());
    printTable(root.querySelector('[data-values]'), heads, plan.rows.map(({ joint, was, is }) => [joint, ...[was, is].flatMap((side) => [side.slice(0, 3).join(', '), side.slice(3).join(', ')])]), write);
    place?.toggleAttribute('hidden', false);
  };

  const take = async (/** @type {string} */ what) => {
    const [glb, changes, entries] = /** @type {[Uint8Array<ArrayBuffer>, string, [string, ...string[]]]} */ (await desk.call('export', ...asked));
    if (what === 'sheet') {
      const { text, href } = addToSheet(entries);
      status?.replaceChildren(`${text} `, Object.assign(document.createElement('a'), { href, textContent: words.sheetOpen }));
      return;
    }
    const stem = (desk.now?.scene.name ?? '').replace(/\.gl(b|tf)$/i, '');
    const name = `${stem}-${what === 'glb' ? 'moved.glb' : `${what}.json`}`;
    if (what === 'glb') download(name, glb, 'model/gltf-binary');
    else download(name, changes, 'application/json');
    write(status, say(words.roomSaved, { name }));
  };

  const refuse = refusals(root.querySelector('[data-out-notice]'), desk);
  const quietly = (/** @type {Promise<void>} */ work) => {
    refuse(null);
    void work.catch(refuse);
  };
  root.querySelector('[data-do="plan"]')?.addEventListener('click', () => quietly(show()), { signal });
  agree?.addEventListener('change', () => {
    for (const button of takes) button.disabled = !agree.checked;
  }, { signal });
  for (const button of takes) button.addEventListener('click', () => quietly(take(button.dataset.do ?? '')), { signal });
  for (const choice of root.querySelectorAll('[data-out]')) {
    choice.addEventListener('change', () => {
      forget();
      for (const part of root.querySelectorAll('[data-within]')) part.toggleAttribute('hidden', option('animation') === 'leave');
    }, { signal });
  }

  return { forget };
}
