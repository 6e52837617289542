// @ts-check
// Moves between the cells of a table by keys: Enter and the arrows go where they point, left and right only from the
// ends of the text; Escape puts back what the cell held. It changes no rows.

/** @typedef {import('./table.js').Table} Table */

/** @type {Record<string, [down: number, right: number]>} */
const MOVES = { Enter: [1, 0], ArrowDown: [1, 0], ArrowUp: [-1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };

/**
 * @param {KeyboardEvent} event
 * @param {Table} table
 */
export function moveByKey(event, table) {
  const input = event.target;
  if (!(input instanceof HTMLInputElement) || event.altKey || event.ctrlKey || event.metaKey || event.isComposing) return;
  if (event.key === 'Escape') {
    if (input.value === input.defaultValue && input.hasAttribute('aria-invalid')) table.undo();
    input.value = input.defaultValue;
    input.select();
    event.preventDefault();
    return;
  }
  const move = MOVES[event.key];
  if (!move || (move[1] !== 0 && !leaves(input, move[1]))) return;
  const { row, column } = table.placeOf(input);
  const down = row + (event.key === 'Enter' && event.shiftKey ? -move[0] : move[0]);
  const right = column + move[1];
  event.preventDefault();
  input.blur(); // what was typed counts before the focus goes on
  const inside = down >= 0 && down < table.rows.length && right >= 0 && right < table.columns.length;
  table.focus(inside ? down : row, inside ? right : column);
}

/** Whether an arrow would leave the text. @param {HTMLInputElement} input @param {number} right */
function leaves(input, right) {
  const { selectionStart: from, selectionEnd: to, value } = input;
  if (from === 0 && to === value.length) return true;
  return from === to && (right > 0 ? to === value.length : from === 0);
}
