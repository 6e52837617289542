// @ts-check
// Keeps a plate's state in the address, as #plate-ID?STATE, or #plate-ID?STATE?BASE when the plate did not start from
// its printed values. A plain #plate-ID still scrolls without any script. #s=STATE means the first plate of the page:
// the book's own links into a calculator's page. It knows nothing of what a state means.

/** @typedef {{ state: string, base: string | null }} Linked */

/** Longest fragment that is read. */
const MOST = 65536;
/** Longest fragment that is written: mail programs and message boards cut longer addresses. */
const FITS = 8192;
const FIRST = '#s=';

/** Whether the address holds a state of some plate. @param {string} hash of an address, with its # */
export const linksNumbers = (hash) => hash.startsWith(FIRST) || hash.includes('?');

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
 * What the address of the page says about a plate. Values that are no plate's, or nobody's on this page, are told to the first.
 * @param {HTMLElement} root
 * @returns {Linked | null | 'refused' | 'unnamed'}
 */
export function linkOf(root) {
  const { hash } = location;
  const first = root === document.querySelector('[data-plate]');
  return readLink(hash, root.id, first) ?? (first && forNobody(hash) ? 'unnamed' : null);
}

/** Whether the address has a value for a field of this page, and is no place of it: a tag that a mail program hangs on is not meant for us. @param {string} hash */
function forNobody(hash) {
  const [, field = ''] = /[#?;]([a-z_0-9]+)=/.exec(hash) ?? [];
  const [place = ''] = hash.slice(1).split('?');
  return document.querySelector(`[data-plate] :is([data-field="${field}"], [data-table="${field}"])`) !== null && !document.getElementById(place);
}

/**
 * @param {string} id
 * @param {string} state
 * @param {string} base the plate's base now
 * @param {string} printed the base it was printed with
 * @returns {{ text: string, fits: boolean }} the fragment, with its #; without the values when it would be too long
 */
export function writeLink(id, state, base, printed) {
  const plain = `#${id}`;
  if (state === base && base === printed) return { text: plain, fits: true };
  const text = base === printed ? `${plain}?${state}` : `${plain}?${state}?${base}`;
  return text.length > FITS ? { text: plain, fits: false } : { text, fits: true };
}

/**
 * The address of the page that a plate stands on, without its fragment. A plate in a frame on another site stands on its
 * page of the handbook, which data-home names.
 * @param {HTMLElement} root a [data-plate]
 */
export function pageOf(root) {
  return new URL(root.dataset.home ?? '', location.href).href.split('#')[0] ?? '';
}

/**
 * Writes the address, at most once in 300 ms: browsers refuse pages that rewrite it all the time.
 * @param {AbortSignal} signal
 * @returns {(fragment: string) => void}
 */
export function addressWriter(signal) {
  let timer = 0;
  let [wanted, written] = ['', ''];
  const write = () => {
    written = wanted;
    try {
      history.replaceState(history.state, '', wanted);
    } catch {
      // A page in a frame or opened from a file may not change its address; the copy button still gives the link.
    }
  };
  const rest = () => {
    timer = 0;
    if (wanted === written) return;
    write();
    timer = window.setTimeout(rest, 300);
  };
  signal.addEventListener('abort', () => window.clearTimeout(timer));
  return (fragment) => {
    wanted = fragment;
    if (timer) return;
    write(); // at once: a reader may follow a link the next moment
    timer = window.setTimeout(rest, 300);
  };
}
