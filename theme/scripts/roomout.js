// @ts-check
// Carries a move out: first in words what will change, what could be lost and what cannot be done as asked, then, once a reader has said so, the new
// file, the change as JSON and the entry of a placement sheet as downloads. A later edit of the pivot takes the plan away.

import * as words from '../words/en.json';
import { download } from './download.js';
import { addToSheet } from './draft.js';
import { write } from './readout.js';
import { printTable, printTexts, refusals } from './roomread.js';
import { say } from './say.js';

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
  const status = root.querySelector('[data-status]');
  const takes = /** @type {HTMLButtonElement[]} */ (['glb', 'change', 'sheet'].map((name) => root.querySelector(`[data-do="${name}"]`)).filter(Boolean));
  /** @type {unknown[]} the question that the plan answers */
  let asked = [];
  let edits = 0;

  const forget = () => {
    edits++;
    asked = [];
    place?.toggleAttribute('hidden', true);
    write(status, '');
    if (agree) agree.checked = false;
    for (const button of takes) button.disabled = true;
  };

  /** Says which other joints have a candidate: a file is made of one move. @returns {string[]} */
  const left = () => {
    const { now, state } = desk;
    if (!now || !state) return [];
    const others = now.scene.joints.filter(({ id }) => id !== state.joint && state.pivots[id]);
    if (others.length === 0) return [];
    const joint = now.scene.joints[state.joint]?.name ?? '';
    return [say(words.roomOthers, { joint, count: others.length, others: others.map(({ name }) => name).join(', ') })];
  };

  const show = async () => {
    const { ask } = desk;
    if (!ask?.candidate) throw new Error(words.roomNoMove);
    const option = (/** @type {string} */ name) => /** @type {HTMLSelectElement | null} */ (root.querySelector(`[data-out="${name}"]`))?.value ?? 'keep';
    const question = [ask, option('orient'), option('animation')];
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
    const [glb, change, sheet] = /** @type {[Uint8Array<ArrayBuffer>, string, string]} */ (await desk.call('export', ...asked));
    if (what === 'sheet') {
      const { text, href } = addToSheet(sheet);
      status?.replaceChildren(`${text} `, Object.assign(document.createElement('a'), { href, textContent: words.sheetOpen }));
      return;
    }
    const stem = (desk.now?.scene.name ?? '').replace(/\.gl(b|tf)$/i, '');
    const name = `${stem}-${what === 'glb' ? 'moved.glb' : `${what}.json`}`;
    if (what === 'glb') download(name, glb, 'model/gltf-binary');
    else download(name, change, 'application/json');
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
  for (const select of root.querySelectorAll('[data-out]')) select.addEventListener('change', forget, { signal });

  return { forget };
}
