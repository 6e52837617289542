// @ts-check
// A text inside the address of a page: #z= holds it deflated, in the letters of an address, #j= as it is, percent-encoded.
// It knows nothing of what the text says.

/** Longest fragment that is written, and that is read. */
const FITS = 8192;
const MOST = 1 << 20;
/** Longest text that comes out: a small fragment can hold a great deal of nothing. */
const ROOM = 1 << 20;

/** @param {string} hash of an address, with its # */
export const holdsText = (hash) => /^#[zj]=/.test(hash);

/**
 * @param {string} text
 * @returns {Promise<string>} the fragment with its #, "" when it would be too long
 */
export async function pack(text) {
  const bytes = await through(new TextEncoder().encode(text), new CompressionStream('deflate-raw'));
  let letters = '';
  for (const byte of bytes) letters += String.fromCharCode(byte);
  const fragment = `#z=${btoa(letters).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '')}`;
  return fragment.length > FITS ? '' : fragment;
}

/**
 * @param {string} hash of an address, with its #
 * @returns {Promise<string | null>} null when the address holds none
 * @throws when what it holds cannot be read
 */
export async function unpack(hash) {
  if (!holdsText(hash)) return null;
  if (hash.length > MOST) throw new Error('too long');
  const rest = hash.slice(3);
  if (hash.startsWith('#j=')) return decodeURIComponent(rest);
  const letters = atob(rest.replaceAll('-', '+').replaceAll('_', '/'));
  const bytes = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
  return new TextDecoder('utf-8', { fatal: true }).decode(await through(bytes, new DecompressionStream('deflate-raw')));
}

/**
 * @param {Uint8Array<ArrayBuffer>} bytes
 * @param {CompressionStream | DecompressionStream} stream
 * @returns {Promise<Uint8Array>}
 */
async function through(bytes, stream) {
  const writer = stream.writable.getWriter();
  const fed = writer.write(bytes).then(() => writer.close());
  fed.catch(() => {}); // told by the reading side
  /** @type {Uint8Array[]} */
  const parts = [];
  let size = 0;
  const reader = stream.readable.getReader();
  for (let part = await reader.read(); !part.done; part = await reader.read()) {
    size += part.value.length;
    if (size > ROOM) {
      await reader.cancel();
      throw new Error('too long');
    }
    parts.push(part.value);
  }
  const whole = new Uint8Array(size);
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
