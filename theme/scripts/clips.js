// @ts-check
// Plays a clip of the file: the time of the state runs with the clock until it is stopped or somebody takes it in hand.
// What a time means is the engine's business.

import * as words from '../words/en.json';
import { write } from './readout.js';

/**
 * @param {HTMLElement} root a [data-room]
 * @param {import('./desk.js').Desk} desk
 * @param {AbortSignal} signal
 */
export function clips(root, desk, signal) {
  const button = root.querySelector('[data-do="play"]');
  let [frame, last, plays, shown] = [0, 0, 0, 0];
  const stop = () => {
    cancelAnimationFrame(frame);
    frame = 0;
    desk.rest();
    button?.setAttribute('aria-pressed', 'false');
    write(button, words.roomPlay);
  };
  const step = (/** @type {number} */ now) => {
    const { state, now: open } = desk;
    const clip = open?.scene.clips.find(({ id }) => id === state?.clip);
    if (!clip || !state || state.time !== shown) return stop(); // a step was taken back: to play on would lose what can be done again
    const time = clip.seconds > 0 ? (state.time + Math.min(now - last, 100) / 1000) % clip.seconds : 0;
    [last, shown] = [now, time];
    desk.change({ time }, `play ${plays}`);
    frame = requestAnimationFrame(step);
  };
  button?.addEventListener('click', () => {
    if (frame) return stop();
    [last, plays, shown] = [performance.now(), plays + 1, desk.state?.time ?? 0];
    button.setAttribute('aria-pressed', 'true');
    write(button, words.roomPause);
    frame = requestAnimationFrame(step);
  }, { signal });
  for (const kind of ['pointerdown', 'keydown']) {
    root.addEventListener(kind, ({ target }) => {
      if (frame && target instanceof Element && target.closest('[data-field], [data-stage], [data-tree]')) stop();
    }, { signal });
  }
}
