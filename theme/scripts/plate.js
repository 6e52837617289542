// @ts-check
// One live plate: a single state text, changed by inputs, handles and links, shown at most once a frame. The engine
// computes; this module only decides what is shown when. It knows no markup beyond the plate's own root.

import { draw } from './figure.js';
import { decorate, handles } from './handles.js';
import { inputs } from './inputs.js';
import { addressWriter, readLink, writeLink } from './link.js';
import { readout } from './readout.js';
import { strings } from './strings.js';
import { watchWidth } from './width.js';

/** @typedef {import('./engine.js').Engine} Engine */
/** @typedef {import('./readout.js').Answer} Answer */
/**
 * What other modules may do with a live plate.
 * @typedef {object} Plate
 * @property {HTMLElement} root
 * @property {() => string} state
 * @property {() => string} link the whole address that opens the plate as it is
 * @property {(state: string, base?: string) => void} start starts over from a state
 * @property {() => void} reset starts over from the printed state
 * @property {(change: (state: string) => string, from?: string) => void} edit changes the state at the next frame
 * @property {(state: string) => void} preview shows a state without keeping it
 * @property {(moving: boolean) => void} moving hushes announcements while something moves
 * @property {(name: 'drag' | 'nudge', state: string, handle: number, x: number, y: number) => string} move
 * @property {(format: string) => string} exportAs
 * @property {() => boolean} openLink takes the state from the address; false when it says nothing about this plate
 */

/**
 * @param {HTMLElement} root a [data-plate]
 * @param {Engine} engine
 * @param {AbortSignal} signal ends every listener
 * @returns {Plate}
 */
export function livePlate(root, engine, signal) {
  const calculator = root.dataset.calculator ?? '';
  const printed = root.dataset.base ?? '';
  const place = /** @type {HTMLElement | null} */ (root.querySelector('[data-figure]'));
  const notice = /** @type {HTMLElement | null} */ (root.querySelector('[data-notice]'));
  const print = readout(root);
  const writeAddress = addressWriter(signal);
  let base = printed;
  let state = printed;
  /** @type {string | null} */
  let wanted = null;
  let from = '';
  let frame = 0;

  const width = () => place?.clientWidth ?? 0;
  const prefix = `${root.id}-live`;
  const fragment = () => writeLink(root.id, state, base, printed);

  /** @param {string} text a state @returns {Answer} */
  const solve = (text) => JSON.parse(engine.solve(calculator, text, base, width(), prefix));

  /** @param {Answer} answer @param {string} source */
  const show = (answer, source) => {
    print(answer);
    form.write(answer.fields, source);
    if (!place) return;
    const [tag, attributes, children] = answer.figure;
    const drawing = draw(place, [tag, { ...attributes, role: 'group' }, children]);
    if (drawing) decorate(drawing, answer.handles);
  };

  /** @param {string} text @param {string} source @param {boolean} address whether the address follows */
  const keep = (text, source, address) => {
    const answer = solve(text);
    if (answer.error) {
      if (!form.refuse(answer.error)) tell(strings.refused(answer.error.field, answer.error.text));
      return false;
    }
    tell('');
    state = answer.state;
    show(answer, source);
    root.dataset.link = plate.link();
    if (address) writeAddress(fragment());
    return true;
  };

  /** @param {string} text */
  const tell = (text) => {
    if (!notice) return;
    notice.textContent = text;
    notice.hidden = text === '';
  };

  const flush = () => {
    frame = 0;
    if (wanted === null) return;
    const text = wanted;
    wanted = null;
    keep(text, from, true);
  };

  /** @type {Plate} */
  const plate = {
    root,
    state: () => wanted ?? state,
    link: () => location.href.split('#')[0] + fragment(),
    start(next, nextBase = next) {
      const before = base;
      base = nextBase;
      wanted = null;
      if (!keep(next, '', true)) base = before;
    },
    reset() {
      plate.start(printed);
      form.restart();
    },
    edit(change, source = '') {
      root.querySelector('[data-say]')?.setAttribute('aria-live', 'polite');
      wanted = change(plate.state());
      from = source;
      frame ||= requestAnimationFrame(flush);
    },
    preview: (text) => {
      const answer = solve(text);
      if (!answer.error) show(answer, '');
    },
    moving: (moving) => {
      root.toggleAttribute('data-moving', moving);
      root.querySelector('[data-say]')?.setAttribute('aria-busy', String(moving));
    },
    move(name, text, handle, x, y) {
      const next = engine[name](calculator, text, base, width(), prefix, handle, x, y);
      return next.startsWith('{') ? text : next; // a refusal: stay
    },
    exportAs: (format) => engine.exportAs(calculator, state, format),
    openLink() {
      const linked = readLink(location.hash, root.id, root === document.querySelector('[data-plate]'));
      if (linked === null) return false;
      base = linked === 'refused' ? printed : linked.base ?? printed;
      if (linked === 'refused' || solve(linked.state).error) {
        base = printed;
        keep(printed, '', false);
        tell(strings.linkRefused);
      } else {
        keep(linked.state, '', false);
      }
      return true;
    },
  };

  const form = inputs(root, plate, signal);
  if (place) {
    handles(place, plate, signal);
    watchWidth(place, () => keep(state, '', false), signal);
  }
  if (!plate.openLink()) keep(printed, '', false);
  return plate;
}
