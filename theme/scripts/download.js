// @ts-check
// Hands the reader a file that the page made.

/** How long, in ms, a browser may take to fetch it: it may ask the reader first where to put it. */
const BEGINS = 60_000;

/** @param {string} name @param {BlobPart} data @param {string} type */
export function download(name, data, type) {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([data], { type }));
  link.download = name;
  link.click();
  window.setTimeout(() => URL.revokeObjectURL(link.href), BEGINS);
}
