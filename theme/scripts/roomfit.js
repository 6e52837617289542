// @ts-check
// The part of the room that proposes a pivot from target poses: the choice of targets, the answer in words and numbers,
// and the map of what other places would leave. The engine computes and draws all of it.

import * as words from '../words/en.json';
import { draw } from './figure.js';
import { printTable, printTexts, refusals } from './roomread.js';
import { speak } from './roomsaid.js';
import { watchWidth, widthOf } from './width.js';

/** @typedef {import('./roomstate.js').Scene} Scene */
/** @typedef {import('./roomstate.js').Vec} Vec */
/** @typedef {{ pivot: Vec, say: string, rows: { label: string, text: string }[], warnings: string[] }} Proposal */

/** Cells of the map along each side. */
const CELLS = 40;

/**
 * @param {HTMLElement} root a [data-room]
 * @param {import('./desk.js').Desk} desk
 * @param {AbortSignal} signal
 */
export function fit(root, desk, signal) {
  const list = root.querySelector('[data-targets]');
  const found = root.querySelector('[data-found]');
  const map = /** @type {HTMLElement | null} */ (root.querySelector('[data-map]'));
  const slice = /** @type {HTMLSelectElement | null} */ (root.querySelector('[data-slice]'));
  /** @type {{ joint: number, targets: string[], pivot: Vec } | null} what the map is of */
  let asked = null;

  const cut = async () => {
    if (!asked || !map) return;
    const axis = Number(slice?.value ?? -1);
    const at = axis < 0 ? 0 : asked.pivot[axis] ?? 0;
    const text = await desk.call('map', asked.joint, asked.targets, axis, at, CELLS, widthOf(map) || 480);
    draw(map, JSON.parse(text));
  };
  const refuse = refusals(root.querySelector('[data-fit-notice]'), desk);
  const quietly = () => void cut().catch(refuse);

  const propose = async () => {
    const boxes = /** @type {HTMLInputElement[]} */ ([...(list?.querySelectorAll('input:checked') ?? [])]);
    const { history } = desk.now ?? {};
    const joint = desk.state?.joint ?? 0;
    const targets = boxes.map(({ value }) => value);
    /** @type {Proposal} */
    const { pivot, say, rows, warnings } = JSON.parse(await desk.call('propose', joint, targets));
    if (desk.now?.history !== history) return; // another character stands there by now
    asked = { joint, targets, pivot };
    found?.toggleAttribute('hidden', false);
    speak(root.querySelector('[data-found-say]'), say);
    printTable(root.querySelector('[data-found-rows]'), [], rows.map(({ label, text }) => [label, text]));
    printTexts(root.querySelector('[data-found-warnings]'), warnings);
    desk.place(pivot, '', joint); // another one may be chosen by now
    await cut();
  };

  root.querySelector('[data-do="propose"]')?.addEventListener('click', () => {
    refuse(null);
    void propose().catch(refuse);
  }, { signal });
  slice?.addEventListener('change', quietly, { signal });
  if (map) watchWidth(map, quietly, signal);

  return {
    /** Lists the targets of a file; the first stands chosen. @param {Scene} scene */
    fill({ targets }) {
      asked = null;
      found?.toggleAttribute('hidden', true);
      root.querySelector('[data-do="propose"]')?.toggleAttribute('disabled', targets.length === 0);
      if (targets.length === 0) {
        list?.replaceChildren(Object.assign(document.createElement('p'), { textContent: words.roomNoTargets }));
        return;
      }
      list?.replaceChildren(...targets.map(({ id, name }, i) => {
        const label = document.createElement('label');
        const box = Object.assign(document.createElement('input'), { type: 'checkbox', value: id, checked: i === 0 });
        label.className = 'room-target';
        label.append(box, ` ${name}`);
        return label;
      }));
    },
  };
}
