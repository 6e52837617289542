// @ts-check
// Moves one handle once, slowly, out and back, so that a reader sees that the drawing moves. Not when reduced motion
// is asked, and never against a reader's own hand. It keeps nothing: the plate ends as it was.

import { centreOf } from './pull.js';

/** @typedef {import('./plate.js').Plate} Plate */

const LASTS = 1800; // ms: slow enough to be followed
const FAR = 26; // px: about a thumb's width

/**
 * @param {Plate} plate one with a handle, on screen
 * @param {AbortSignal} signal
 */
export function showThatItMoves(plate, signal) {
  const group = plate.root.querySelector('g[data-handle="0"]');
  const centre = group && centreOf(group);
  const busy = plate.wanted.edits.length > 0 || plate.root.hasAttribute('data-moving'); // the reader was faster
  if (!centre || busy || matchMedia('(prefers-reduced-motion: reduce)').matches) return;
  const before = plate.step.state;
  const compares = plate.root.dataset.compares === 'true'; // else what it is compared with would be drawn beneath
  const stop = new AbortController();
  const ends = { signal: AbortSignal.any([signal, stop.signal]) };
  const still = () => plate.step.state === before && !stop.signal.aborted && !signal.aborted;
  const end = () => {
    if (stop.signal.aborted) return; // the reader's hand is there by now
    stop.abort();
    plate.moving(false);
  };
  for (const kind of ['pointerdown', 'keydown', 'input', 'focusin']) {
    plate.root.addEventListener(kind, end, { ...ends, capture: true });
  }
  /** @type {import('./readout.js').Answer | null} */
  let rest = null; // paper cannot wait for an answer
  window.addEventListener('beforeprint', () => {
    end();
    if (rest && !rest.error) plate.pass(rest, compares);
  }, ends);
  /** @type {number | undefined} */
  let began;
  const step = async (/** @type {number} */ now) => {
    if (!still()) return end();
    began ??= now;
    const t = (now - began) / LASTS;
    if (t >= 1) return end();
    const off = FAR * Math.sin(Math.PI * t) ** 2;
    const { state, base } = plate.step;
    rest ??= await plate.ask.foresee(state, base, [], !compares);
    const answer = await plate.ask.foresee(state, base, [{ kind: 'drag', handle: 0, x: centre[0] + off, y: centre[1] - off }], !compares);
    requestAnimationFrame((later) => {
      if (!still()) return end();
      if (answer && !answer.error) plate.pass(answer, compares);
      void step(later);
    });
  };
  plate.moving(true);
  requestAnimationFrame((now) => void step(now));
}
