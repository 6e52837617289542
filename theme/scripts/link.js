// @ts-check
// Keeps a plate's state in the address, as #plate-ID?STATE, or #plate-ID?STATE?BASE when the plate did not start from
// its printed values. A plain #plate-ID still scrolls without any script. #s=STATE means the first plate of the page:
// the book's own links into a calculator's page. It knows nothing of what a state means.

/** @typedef {{ state: string, base: string | null }} Linked */

/** Longest fragment that is read; the engine refuses longer states too. */
const MOST = 65536;
const FIRST = '#s=';

/**
 * @param {string} hash of an address, with its #
 * @param {string} id of the plate
 * @param {boolean} first whether it is the first plate of its page
 * @returns {Linked | null | 'refused'} null when the address says nothing about the plate
 */
export function readLink(hash, id, first) {
  const mark = first && hash.startsWith(FIRST) ? FIRST : `#${id}?`;
  if (!hash.startsWith(mark)) return null;
  if (hash.length > MOST) return 'refused';
  const [state = '', base = null, ...more] = hash.slice(mark.length).split('?');
  return more.length > 0 ? 'refused' : { state, base };
}

/**
 * The plate whose state the address holds.
 * @param {string} hash
 * @param {readonly HTMLElement[]} plates in page order
 */
export function linkedPlate(hash, plates) {
  return plates.find((root, i) => readLink(hash, root.id, i === 0) !== null);
}

/**
 * @param {string} id
 * @param {string} state
 * @param {string} base the plate's base now
 * @param {string} printed the base it was printed with
 * @returns {string} the fragment, with its #
 */
export function writeLink(id, state, base, printed) {
  if (state === base && base === printed) return `#${id}`;
  return base === printed ? `#${id}?${state}` : `#${id}?${state}?${base}`;
}

/**
 * Writes the address, at most once in 300 ms: browsers refuse pages that rewrite it all the time.
 * @param {AbortSignal} signal
 * @returns {(fragment: string) => void}
 */
export function addressWriter(signal) {
  let timer = 0;
  let wanted = '';
  signal.addEventListener('abort', () => window.clearTimeout(timer));
  return (fragment) => {
    wanted = fragment;
    timer ||= window.setTimeout(() => {
      timer = 0;
      try {
        history.replaceState(history.state, '', wanted);
      } catch {
        // A page in a frame or opened from a file may not change its address; the copy button still gives the link.
      }
    }, 300);
  };
}
