// @ts-check
// The fields beside the drawing: turn, clip, pivot, skin, sides. They show a state and tell what a reader changes; what
// cannot be read is said at the field and changes nothing.

import * as words from '../words/en.json';
import { write } from './readout.js';
import { pivotOf } from './roomstate.js';
import { say } from './say.js';
import { settle } from './undokeys.js';
import { inUnit, readLength, readNumber, units } from './units.js';

/** @typedef {import('./roomstate.js').State} State */
/** @typedef {import('./roomstate.js').Scene} Scene */
/** @typedef {import('./roomstate.js').Vec} Vec */
/** @typedef {HTMLInputElement | HTMLSelectElement} Control */

const LIMITS = /** @type {const} */ ({ angle: [-360, 360], time: [0, 1e6], passes: [1, 40] });

/**
 * @param {HTMLElement} root a [data-room]
 * @param {import('./desk.js').Desk} desk
 * @param {AbortSignal} signal
 */
export function fields(root, desk, signal) {
  const controls = /** @type {NodeListOf<Control>} */ (root.querySelectorAll('[data-field]'));
  const error = /** @type {HTMLElement | null} */ (root.querySelector('[data-error]'));
  const complain = (/** @type {string} */ text, /** @type {Control} */ control) => {
    write(error, text);
    error?.toggleAttribute('hidden', text === '');
    for (const other of controls) for (const mark of ['aria-invalid', 'aria-errormessage']) other.removeAttribute(mark);
    if (!text || !error) return;
    control.closest('.room-row, .room-xyz')?.after(error); // beside what it is about
    control.setAttribute('aria-invalid', 'true');
    control.setAttribute('aria-errormessage', error.id);
  };

  /** What a control asks for; null when it cannot be read. @param {Control} control @param {Scene} scene @param {State} state @returns {Partial<State> | null} */
  const asked = (control, scene, state) => {
    const { value, dataset: { field = '' } } = control;
    if (field === 'smooth') return { smooth: /** @type {HTMLInputElement} */ (control).checked };
    if (field === 'trial') return { trial: value === 'trial' };
    if (field === 'clip') return { clip: Number(value), time: 0 };
    if (field === 'angle' || field === 'time' || field === 'passes') {
      const [least, most] = LIMITS[field];
      const number = readNumber(value, { angle: '°', time: 's', passes: '' }[field]);
      if (Number.isNaN(number)) return null;
      const kept = Math.max(least, Math.min(most, number));
      return { [field]: field === 'passes' ? Math.round(kept) : kept };
    }
    const i = 'xyz'.indexOf(field);
    if (i < 0) return { [field]: value };
    const cm = readLength(value, state.unit);
    return Number.isNaN(cm) ? null : { pivots: { ...state.pivots, [state.joint]: /** @type {Vec} */ (pivotOf(scene, state).with(i, cm)) } };
  };

  const take = (/** @type {Event} */ { target, type }) => {
    if (!(target instanceof HTMLInputElement || target instanceof HTMLSelectElement) || !target.dataset.field) return;
    if (type === 'input' && target.type !== 'range') return;
    const { now, state } = desk;
    if (!now || !state) return;
    const part = asked(target, now.scene, state);
    if (part === null) {
      const given = target.value;
      return complain('xyz'.includes(target.dataset.field) ? say(words.roomNotNumber, { given }) : say(words.roomNotPlain, { given }), target);
    }
    complain('', target);
    if (type === 'input' || target.type !== 'range') desk.change(part, `field ${target.dataset.field}`);
    if (type === 'change') desk.rest();
  };
  root.addEventListener('input', take, { signal });
  root.addEventListener('change', take, { signal });

  /** @param {string} name @param {[value: string, text: string][]} list */
  const choices = (name, list) => {
    const select = root.querySelector(`select[data-field="${name}"]`);
    select?.replaceChildren(...list.map(([value, text]) => new Option(text, value)));
  };

  /** Shows a value that counts; what was said of another text there goes. @param {Control} control @param {string} text */
  const put = (control, text) => {
    if (control.matches('[aria-invalid]')) complain('', control);
    settle(control, text);
  };

  return {
    /** @param {Scene} scene */
    fill(scene) {
      choices('clip', [['-1', words.roomByHand], ...scene.clips.map(({ id, name }) => /** @type {[string, string]} */ ([String(id), name]))]);
      choices('unit', units.map((unit) => [unit, unit]));
      const letters = ['x', 'y', 'z'];
      choices('axis', [['fold', words.roomAxisFold],
        ...letters.map((letter, i) => /** @type {[string, string]} */ ([`own:${i}`, say(words.roomAxisOwn, { letter })])),
        ...letters.map((letter, i) => /** @type {[string, string]} */ ([`world:${i}`, say(words.roomAxisWorld, { letter })]))]);
    },
    /** @param {Scene} scene @param {State} state */
    show(scene, state) {
      const clip = scene.clips.find(({ id }) => id === state.clip);
      for (const part of root.querySelectorAll('[data-hand]')) part.toggleAttribute('hidden', Boolean(clip));
      root.querySelector('[data-clip]')?.toggleAttribute('hidden', !clip);
      const pivot = pivotOf(scene, state);
      for (const control of controls) {
        const field = /** @type {keyof State} */ (control.dataset.field ?? '');
        if (control instanceof HTMLInputElement && field === 'time' && control.type === 'range') control.max = String(clip?.seconds ?? 1);
        const i = 'xyz'.indexOf(field);
        const text = i >= 0 ? inUnit(pivot[i] ?? 0, state.unit) : field === 'trial' ? (state.trial ? 'trial' : 'file')
          : typeof state[field] === 'number' ? String(Math.round(Number(state[field]) * 1000) / 1000) : String(state[field]);
        if (control instanceof HTMLInputElement && control.type === 'radio') control.checked = control.value === text;
        else if (control instanceof HTMLInputElement && control.type === 'checkbox') control.checked = state.smooth;
        else if (control !== document.activeElement || control.type === 'range' || !control.matches('[aria-invalid]')) put(control, text);
      }
    },
  };
}
