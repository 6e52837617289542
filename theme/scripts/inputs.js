// @ts-check
// The form of a plate: turns what a reader types, slides and picks into edits, shows the values in use and the reason
// a value is refused at its own field. It reads no numbers: the engine does, with units.

import { inChosen, withChosen } from './chosen.js';
import * as words from '../words/en.json';
import { told } from './refusal.js';
import { say } from './say.js';
import { settle } from './undokeys.js';

/** @typedef {import('./plate.js').Plate} Plate */
/** @typedef {HTMLInputElement | HTMLSelectElement} Control */
/** @typedef {{ control: Control | null, slider: HTMLInputElement | null, mark: Element | null, line: HTMLElement | null, unit: string, settled: string | null }} Field settled: the text that was shown or taken last; null when it was refused */
/**
 * @typedef {object} Form
 * @property {(fields: Record<string, string>, typed: Record<string, string>) => void} write shows the values in use, in base units and, where the reader chose others, in those
 * @property {(error: import('./readout.js').Refusal) => boolean} refuse false when no field shows the error
 * @property {() => void} restart puts the choice of presets back
 */

/**
 * @param {HTMLElement} root a plate
 * @param {Plate} plate
 * @param {AbortSignal} signal
 * @returns {Form}
 */
export function inputs(root, plate, signal) {
  const form = /** @type {HTMLElement | null} */ (root.querySelector('[data-inputs]'));
  const preset = /** @type {HTMLSelectElement | null} */ (root.querySelector('select[data-preset]'));
  /** @type {Map<string, Field>} */
  const fields = new Map();
  for (const box of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll('[data-field]'))) {
    const field = fieldOf(box);
    const id = box.dataset.field ?? '';
    fields.set(id, field);
    field.control?.addEventListener('change', () => {
      field.settled = field.control?.value ?? '';
      plate.edit(setting(id, withChosen(field.settled, field.unit)), id);
    }, { signal });
    field.slider?.addEventListener('input', () => plate.edit(setting(id, field.slider?.value ?? ''), id), { signal });
  }
  preset?.addEventListener('change', () => plate.start(preset.value), { signal });
  /** @type {Record<string, string>} the values in use */
  let used = {};
  /** @type {Record<string, string>} */
  let read = {};
  form?.addEventListener('keydown', ({ key, target, isComposing }) => {
    for (const [id, field] of fields) {
      const text = used[id];
      if (key === 'Escape' && !isComposing && target === field.control && text !== undefined) show(field, text, read[id], true);
    }
  }, { signal });
  return {
    write(values, typed) {
      used = values;
      read = typed;
      const { base } = plate.step;
      if (preset && preset.value !== base) preset.selectedIndex = [...preset.options].findIndex(({ value }) => value === base);
      for (const [id, field] of fields) {
        const text = values[id];
        if (text !== undefined && !sets(plate.wanted, id)) show(field, text, typed[id], false);
      }
    },
    refuse(error) {
      const field = fields.get(error.field);
      if (field) {
        field.settled = null;
        const { text, lang } = told(error);
        complain(field, say(words.refusedHere, { text: labelled(root, text) }), lang);
      }
      return field !== undefined;
    },
    restart() {
      if (preset) preset.selectedIndex = 0;
    },
  };
}

/** Appending is editing: of a field written twice the engine takes the later. @param {string} id @param {string} text */
export const setting = (id, text) => `&${id}=${encodeURIComponent(text)}`;

/** Whether a newer text of the field waits for its answer: until then what is answered must not take its place. @param {import('./question.js').Wanted} wanted @param {string} id */
export const sets = ({ edits }, id) => edits.some((edit) => typeof edit === 'string' && edit.startsWith(`&${id}=`));

/** A sentence of the engine, which names other fields as the command line does, with what they are called on the plate. @param {HTMLElement} root @param {string} text */
const labelled = (root, text) => text.replace(/\b[a-z]+(?:_[a-z]+)+\b/g, (id) => {
  const label = root.querySelector(`[data-field="${id}"] label`)?.textContent;
  return label ? say(words.labelQuoted, { label }) : id;
});

/** @param {HTMLElement} box @returns {Field} */
function fieldOf(box) {
  return {
    control: box.querySelector('[data-number], [data-choice]'),
    slider: box.querySelector('[data-slider]'),
    mark: box.querySelector('[data-unit]'),
    line: box.querySelector('[data-error]'),
    unit: box.querySelector('[data-unit]')?.getAttribute('data-unit') ?? '', // not its text, which a browser may translate
    settled: null,
  };
}

/**
 * @param {Field} field
 * @param {string} text in base units
 * @param {string | undefined} typed in the reader's, where those are others
 * @param {boolean} anyway also over what is being typed
 */
function show(field, text, typed, anyway) {
  const { control, slider, mark } = field;
  const [shown, unit] = [typed ?? text, typed === undefined ? field.unit : inChosen(field.unit)];
  complain(field, '');
  if (mark && mark.textContent !== unit) mark.textContent = unit;
  if (slider && slider.value !== text) slider.value = text;
  const spoken = unit ? `${shown} ${unit}` : shown;
  if (slider && slider.getAttribute('aria-valuetext') !== spoken) slider.setAttribute('aria-valuetext', spoken);
  const typing = control === document.activeElement && !anyway && !(control instanceof HTMLSelectElement) && control?.value !== field.settled;
  if (!control || typing) return;
  settle(control, shown);
  field.settled = shown;
}

/** @param {Field} field @param {string} text @param {string} [lang] of the text, where it is not the page's */
function complain({ line, control }, text, lang = '') {
  if (!text && !control?.hasAttribute('aria-invalid') && !line?.textContent) return; // as it is nearly always
  if (line && line.textContent !== text) {
    line.lang = lang || document.documentElement.lang;
    line.textContent = text;
    line.hidden = text === '';
  }
  if (text) control?.setAttribute('aria-invalid', 'true');
  else control?.removeAttribute('aria-invalid');
  if (line?.id) control?.[text ? 'setAttribute' : 'removeAttribute']('aria-errormessage', line.id);
}
