// @ts-check
// Keeps what a reader has done in this browser, and nowhere else: lessons read, exercises tried and solved. One record,
// checked whenever it is read, from whatever place; where the browser keeps nothing, it lives as long as the page.

import { watchKept } from './keep.js';
import * as words from '../words/en.json';

/**
 * What became of an exercise.
 * @typedef {object} Done
 * @property {number} tries answers that were graded
 * @property {boolean} own solved with the printed numbers
 * @property {number} fresh times solved with new numbers
 * @property {boolean} shown whether the working was looked at before it was solved
 */
/** @typedef {{ lessons: Map<string, true>, exercises: Map<string, Done> }} Progress lessons by slug, exercises by slug/id */

export const FORMAT = 'centrode-progress-1';
const PLACE = 'centrode-progress';
/** The handbook has some forty lessons and a hundred exercises; a studio may add its own. */
const MOST = { characters: 1 << 20, entries: 5000, count: 1_000_000 };
const SLUG = /^[a-z0-9]+(?:-[a-z0-9]+)*$/;

/** @type {Set<() => void>} */
const listeners = new Set();
/** @type {Progress | undefined} what the page has when the browser keeps nothing, or what is not ours to write over */
let loose;

/** @returns {Progress} */
export const nothing = () => ({ lessons: new Map(), exercises: new Map() });

/** @returns {{ progress: Progress, kept: boolean, later: boolean }} kept is false when the browser will not remember; later when it has a record of a later form */
export function load() {
  try {
    const text = localStorage.getItem(PLACE) ?? '';
    return { progress: loose ?? readProgress(text) ?? nothing(), kept: loose === undefined, later: isLater(text) };
  } catch {
    return { progress: loose ?? nothing(), kept: false, later: false };
  }
}

/** What a reader must know of what is kept. @param {{ kept: boolean, later: boolean }} of */
export const troubleOf = ({ kept, later }) => (later ? words.progressLater : kept ? '' : words.notKept);

/**
 * What gets too long to be read again, and would be lost as a whole, lasts as long as the page, which says so; whole leaves it undone.
 * @param {(progress: Progress) => void} edit @param {boolean} [whole] @returns {boolean} whether it was done
 */
export function change(edit, whole = false) {
  const { progress: { lessons, exercises }, later } = load();
  const progress = { lessons: new Map(lessons), exercises: new Map(exercises) };
  edit(progress);
  const text = writeProgress(progress);
  const full = readProgress(text) === null;
  if (full && whole) return false;
  loose = later || full ? progress : undefined;
  try {
    if (!loose) localStorage.setItem(PLACE, text);
  } catch {
    loose = progress; // said, too
  }
  for (const tell of listeners) tell();
  return true;
}

/** Calls back now, after every change, and when another tab changed something. @param {() => void} tell @param {AbortSignal} signal */
export function watch(tell, signal) {
  listeners.add(tell);
  signal.addEventListener('abort', () => listeners.delete(tell));
  watchKept([PLACE], tell, signal);
  tell();
}

/** @param {Progress} progress @param {string} exercise @returns {Done} a copy */
export const done = (progress, exercise) => ({ tries: 0, own: false, fresh: 0, shown: false, ...progress.exercises.get(exercise) });

/** @param {Done | undefined} it */
export const solved = (it) => it !== undefined && (it.own || it.fresh > 0);

/** @param {Progress} progress @returns {string} what readProgress reads */
export function writeProgress({ lessons, exercises }) {
  const sorted = (/** @type {Map<string, unknown>} */ map) => Object.fromEntries([...map].sort(([a], [b]) => (a < b ? -1 : 1)));
  const read = new Map([...lessons.keys()].map((slug) => /** @type {const} */ ([slug, { read: true }])));
  return `${JSON.stringify({ format: FORMAT, lessons: sorted(read), exercises: sorted(exercises) }, null, 1)}\n`;
}

/** @param {string} text @returns {Progress | null} null for anything that is not wholly a record */
export function readProgress(text) {
  if (text.length > MOST.characters) return null;
  try {
    const { format, lessons, exercises, ...more } = object(JSON.parse(text));
    if (format !== FORMAT || Object.keys(more).length > 0) return null;
    const progress = nothing();
    for (const [slug, value] of entries(lessons)) {
      const { read, ...others } = object(value);
      if (!SLUG.test(slug) || read !== true || Object.keys(others).length > 0) return null;
      progress.lessons.set(slug, true);
    }
    for (const [name, value] of entries(exercises)) {
      const { tries, own, fresh, shown, ...others } = object(value);
      const [slug = '', id = '', ...parts] = name.split('/');
      if (!SLUG.test(slug) || !SLUG.test(id) || parts.length > 0 || Object.keys(others).length > 0) return null;
      if (!counted(tries) || !counted(fresh) || typeof own !== 'boolean' || typeof shown !== 'boolean') return null;
      progress.exercises.set(name, { tries, own, fresh, shown });
    }
    return progress;
  } catch {
    return null; // no record; who asked says so
  }
}

/** Whether the text is a record of another number: a page of a later edition has written it, and only such a one may change it. @param {string} text */
function isLater(text) {
  try {
    const { format } = object(JSON.parse(text));
    return typeof format === 'string' && format !== FORMAT && /^centrode-progress-[0-9]+$/.test(format);
  } catch {
    return false; // no record at all
  }
}

/** Adds what another record holds; adding it twice changes nothing. @param {Progress} into @param {Progress} from */
export function merge(into, from) {
  for (const slug of from.lessons.keys()) into.lessons.set(slug, true);
  for (const [name, theirs] of from.exercises) {
    const ours = done(into, name);
    into.exercises.set(name, {
      tries: Math.max(ours.tries, theirs.tries), own: ours.own || theirs.own, fresh: Math.max(ours.fresh, theirs.fresh), shown: ours.shown || theirs.shown,
    });
  }
}

/** One more than a count that is kept; beyond the most that is read the whole record would be refused. @param {number} count */
export const oneMore = (count) => Math.min(count + 1, MOST.count);

/** @param {unknown} value @returns {value is number} */
const counted = (value) => Number.isInteger(value) && Number(value) >= 0 && Number(value) <= MOST.count;

/** @param {unknown} value @returns {Record<string, unknown>} */
function object(value) {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) throw new TypeError('no object');
  return /** @type {Record<string, unknown>} */ (value);
}

/** @param {unknown} value */
function entries(value) {
  const list = Object.entries(object(value));
  if (list.length > MOST.entries || list.some(([name]) => name.length > 200)) throw new TypeError('too much');
  return list;
}
