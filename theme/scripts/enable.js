// @ts-check
// Says which buttons of a group work now. A button that ceases to work under the focus hands it to one that works: the browser would
// let it fall, and a reader with a keyboard begin again at the top of the page.

/** @param {readonly [button: Element | null, works: boolean][]} group in the order in which they take the focus over */
export function enable(group) {
  const held = document.activeElement;
  for (const [button, works] of group) button?.toggleAttribute('disabled', !works);
  const heir = group.find(([, works]) => works)?.[0];
  if (heir instanceof HTMLElement && group.some(([button, works]) => button === held && !works)) heir.focus();
}
