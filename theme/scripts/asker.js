// @ts-check
// Asks the engine about one plate: the calculator, the width of its drawing and the prefix of its ids go with every
// question. It keeps no state.

/** @typedef {import('./engine.js').Engine} Engine */
/** @typedef {import('./readout.js').Answer} Answer */
/**
 * @typedef {object} Asker
 * @property {(state: string, base: string) => Answer} solve
 * @property {(kind: 'drag' | 'nudge', state: string, base: string, handle: number, x: number, y: number) => string} move
 *   answers the state after a handle was moved to a point or by steps; the same state when that is refused
 * @property {(state: string, format: string) => string} exportAs
 */

/**
 * @param {HTMLElement} root a [data-plate]
 * @param {Engine} engine
 * @returns {Asker}
 */
export function asker(root, engine) {
  const id = root.dataset.calculator ?? '';
  const prefix = `${root.id}-live`;
  const width = () => root.querySelector('[data-figure]')?.clientWidth ?? 0;
  return {
    solve: (state, base) => JSON.parse(engine.solve(id, state, base, width(), prefix)),
    move(kind, state, base, handle, x, y) {
      const next = engine[kind](id, state, base, width(), prefix, handle, x, y);
      return next.startsWith('{') ? state : next;
    },
    exportAs: (state, format) => engine.exportAs(id, state, format),
  };
}
