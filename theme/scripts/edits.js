// @ts-check
// What edits make of a state, as the engine sees it. It keeps nothing.

/** What becomes of a state: a field is set, "&field=text", or a handle is moved. @typedef {string | { kind: 'drag' | 'nudge', handle: number, x: number, y: number }} Edit */

/** @param {import('./engine.js').Engine} engine @param {Pick<import('./service.js').Foresee, 'args' | 'edits' | 'alone'>} job */
export function foreseen(engine, { args, edits, alone }) {
  const [id, state, base, ...rest] = edited(engine, args, edits);
  return engine.solve(id, state, alone ? state : base, ...rest, true, edits.length > 0);
}

/** @param {import('./engine.js').Engine} engine @param {import('./asker.js').Request_} args @param {readonly Edit[]} edits @returns {import('./asker.js').Request_} a movement that is refused leaves the state */
export function edited(engine, [id, before, ...rest], edits) {
  let state = before;
  for (const edit of edits) {
    const next = typeof edit === 'string' ? state + edit : engine[edit.kind](id, state, ...rest, edit.handle, edit.x, edit.y);
    if (!next.startsWith('{')) state = next;
  }
  return [id, state, ...rest];
}
