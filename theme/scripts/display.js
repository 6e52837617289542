// @ts-check
// What a plate shows of an answer: words, numbers, inputs, tables, the drawing, one line for the reader. It asks nothing
// and keeps no state.

import { onUnits } from './chosen.js';
import { draw } from './figure.js';
import { decorate, handles, inHand } from './handles.js';
import { inputs } from './inputs.js';
import { probe } from './probe.js';
import { readout, write } from './readout.js';
import { told } from './refusal.js';
import * as words from '../words/en.json';
import { say } from './say.js';
import { speak } from './sentences.js';
import { tables } from './tables.js';
import { watchWidth } from './width.js';

/**
 * @param {HTMLElement} root a [data-plate]
 * @param {import('./plate.js').Plate} plate
 * @param {AbortSignal} signal
 */
export function display(root, plate, signal) {
  const place = /** @type {HTMLElement | null} */ (root.querySelector('[data-figure]'));
  const notice = /** @type {HTMLElement | null} */ (root.querySelector('[data-notice]'));
  const print = readout(root, speak);
  const form = inputs(root, plate, signal);
  const rows = tables(root, plate, signal);
  onUnits(() => plate.redraw(), signal);
  let readAgain = () => {};
  if (place) {
    handles(place, plate, signal);
    watchWidth(place, () => plate.redraw(), signal);
    if (root.hasAttribute('data-probed')) readAgain = probe(place, plate, signal);
  }
  const tell = (/** @type {string} */ text) => {
    write(notice, text);
    notice?.toggleAttribute('hidden', text === '');
  };
  /** @typedef {import('./readout.js').Answer} Answer */
  const fill = (/** @type {Answer} */ answer, /** @type {string} */ from) => {
    form.write(answer.fields, answer.typed);
    rows.write(answer.fields, from);
  };
  const redraw = (/** @type {Answer} */ answer) => {
    const name = place ? inHand(place) : '';
    const drawing = place && draw(place, answer.figure);
    if (drawing) decorate(drawing, answer.handles, name);
  };
  return {
    /** Shows the drawing alone, in passing. */
    draw: redraw,
    /** Shows the inputs alone: what is drawn stands already, and finer. */
    fill,
    /** @param {Answer} answer @param {string} from the field of the edit */
    show(answer, from) {
      print(answer);
      fill(answer, from);
      redraw(answer);
      readAgain();
    },
    /** Says why a state is refused, at its field where it has one. @param {import('./readout.js').Refusal} error */
    refuse(error) {
      if (!form.refuse(error) && !rows.refuse(error)) tell(say(words.refused, { label: error.field, text: told(error).text }));
    },
    /** A line for the reader; none when empty. */
    tell,
    /** Puts the choice of presets back. */
    restart: () => form.restart(),
    /** Drops what was typed into tables and refused. */
    forget: () => rows.forget(),
  };
}
