// @ts-check
// The tree of joints: one stop of the Tab key, arrow keys within it, first letters, a click. It tells which joint was
// chosen and knows nothing of poses.

import { write } from './readout.js';

/** @typedef {import('./roomstate.js').Joint} Joint */

/** How long, in ms, letters belong to one word. */
const WORD = 700;

/**
 * @param {HTMLElement} box a [data-tree]
 * @param {(joint: number) => void} choose
 * @param {AbortSignal} signal
 */
export function tree(box, choose, signal) {
  /** @type {Joint[]} in the order of the tree */
  let order = [];
  let [typed, when] = ['', 0];
  const rowOf = (/** @type {number} */ id) => /** @type {HTMLElement | null} */ (box.querySelector(`[data-joint="${id}"]`));
  const focused = () => order.findIndex(({ id }) => rowOf(id) === document.activeElement);

  box.addEventListener('click', ({ target }) => {
    const row = target instanceof Element ? target.closest('[data-joint]') : null;
    if (row instanceof HTMLElement) choose(Number(row.dataset.joint));
  }, { signal });

  box.addEventListener('keydown', (event) => {
    const at = focused();
    const joint = order[at];
    if (!joint || event.ctrlKey || event.metaKey || event.altKey) return;
    const steps = /** @type {Record<string, number>} */ ({ ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: order.length - 1,
      ArrowLeft: order.findIndex(({ id }) => id === joint.parent), ArrowRight: order.findIndex(({ parent }) => parent === joint.id) });
    let next = order[steps[event.key] ?? -1];
    if (event.key === 'Enter' || event.key === ' ') next = joint;
    else if (!(event.key in steps) && event.key.length === 1) {
      typed = event.timeStamp - when < WORD ? typed + event.key : event.key;
      when = event.timeStamp;
      const from = order.slice(at + (typed.length === 1 ? 1 : 0)).concat(order);
      next = from.find(({ name }) => name.toLowerCase().startsWith(typed.toLowerCase()));
    } else if (!(event.key in steps)) return;
    event.preventDefault();
    if (!next) return;
    rowOf(next.id)?.focus();
    choose(next.id);
  }, { signal });

  return {
    /** @param {readonly Joint[]} joints @param {ReadonlySet<number>} carried joints that take a part of the surface with them */
    fill(joints, carried) {
      order = [];
      const rows = /** @type {HTMLElement[]} */ ([]);
      /** @type {[Joint, number][]} */
      const queue = joints.filter(({ parent }) => parent < 0).map((joint) => [joint, 1]);
      for (let next = queue.shift(); next; next = queue.shift()) {
        const [joint, level] = next;
        order.push(joint);
        rows.push(row(joint, level, !carried.has(joint.id)));
        queue.unshift(...joints.filter(({ parent }) => parent === joint.id).map((child) => /** @type {[Joint, number]} */ ([child, level + 1])));
      }
      box.replaceChildren(...rows);
    },
    /** @param {number} chosen @param {readonly number[]} moved joints that have a candidate */
    show(chosen, moved) {
      for (const { id } of order) {
        const element = rowOf(id);
        element?.setAttribute('aria-selected', String(id === chosen));
        element?.setAttribute('tabindex', id === chosen ? '0' : '-1');
        element?.toggleAttribute('data-moved', moved.includes(id));
      }
      const element = rowOf(chosen);
      const { offsetTop = 0, offsetHeight = 0 } = element ?? {};
      if (offsetTop < box.scrollTop || offsetTop + offsetHeight > box.scrollTop + box.clientHeight) box.scrollTop = offsetTop - box.clientHeight / 2;
    },
  };
}

/** @param {Joint} joint @param {number} level @param {boolean} bare */
function row(joint, level, bare) {
  const element = document.createElement('div');
  element.setAttribute('role', 'treeitem');
  element.setAttribute('aria-level', String(level));
  element.dataset.joint = String(joint.id);
  element.dataset.level = String(Math.min(level, 12));
  element.toggleAttribute('data-bare', bare);
  write(element, joint.name);
  return element;
}
