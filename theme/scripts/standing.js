// @ts-check
// Shows quietly, wherever lessons and exercises are listed, what the reader has done; lets a lesson be marked as read. It
// reads the record and the page's own lists, and asks no server.

import { change, done, load, solved, troubleOf, watch } from './record.js';
import { write } from './readout.js';
import * as words from '../words/en.json';
import { say } from './say.js';

/** @typedef {import('./record.js').Progress} Progress */
/** @typedef {{ slug: string, read: boolean, solved: number, exercises: number, minutes: number, row: HTMLElement }} Standing */

/** @param {string} selector @param {ParentNode} [within] */
const all = (selector, within = document) => /** @type {HTMLElement[]} */ ([...within.querySelectorAll(selector)]);

/** @param {AbortSignal} signal */
export function standing(signal) {
  const rows = all('[data-lesson-row]');
  const end = /** @type {HTMLElement | null} */ (document.querySelector('[data-lesson-end]'));
  end?.toggleAttribute('hidden', false);
  end?.querySelector('[data-mark-read]')?.addEventListener('click', () => {
    change(({ lessons }) => void (lessons.delete(slugOf(end)) || lessons.set(slugOf(end), true)));
  }, { signal });
  watch(() => {
    const { progress, ...how } = load();
    const lessons = rows.map((row) => lessonRow(row, progress));
    for (const course of all('[data-course]')) showCourse(course, lessons);
    for (const card of all('[data-exercise]')) showExercise(card, progress);
    for (const line of all('[data-path-line]')) showPath(line, progress);
    if (end) showEnd(end, progress, troubleOf(how));
    for (const place of document.querySelectorAll('a.map-place, .map-branch > a')) {
      const slug = /\/lessons\/([^/]+)\//.exec(place.getAttribute('href') ?? '')?.[1] ?? '';
      place.toggleAttribute('data-read', progress.lessons.has(slug));
    }
    all('[data-map-read]').forEach((note) => { note.hidden = progress.lessons.size === 0; });
  }, signal);
}

/** @param {HTMLElement} element */
const slugOf = (element) => element.dataset.lessonEnd ?? element.dataset.lessonRow ?? '';

/** @param {HTMLElement} row @param {Progress} progress @returns {Standing} */
function standingOf(row, progress) {
  const slug = slugOf(row);
  const ids = (row.dataset.exercises ?? '').split(' ').filter(Boolean);
  return {
    slug, row, read: progress.lessons.has(slug), minutes: Number(row.dataset.minutes ?? 0), exercises: ids.length,
    solved: ids.filter((id) => solved(progress.exercises.get(`${slug}/${id}`))).length,
  };
}

/** @param {HTMLElement} row @param {Progress} progress */
function lessonRow(row, progress) {
  const lesson = standingOf(row, progress);
  tell(row.querySelector('[data-standing]'), lessonWords(lesson));
  row.toggleAttribute('data-read', lesson.read);
  return lesson;
}

/** @param {Element | null} place @param {string} text nothing is shown when empty */
function tell(place, text) {
  write(place, text);
  place?.toggleAttribute('hidden', text === '');
}

/** @param {HTMLElement} course @param {Standing[]} all of the page */
function showCourse(course, all) {
  const lessons = all.filter(({ row }) => course.contains(row));
  const sum = (/** @type {(lesson: Standing) => number} */ of) => lessons.reduce((total, lesson) => total + of(lesson), 0);
  const read = sum((lesson) => Number(lesson.read));
  const solvedOf = sum((lesson) => lesson.solved);
  const left = sum((lesson) => (lesson.read ? 0 : lesson.minutes));
  const begun = read + solvedOf > 0;
  tell(course.querySelector('[data-course-standing]'), begun ? courseWords(read, lessons.length, solvedOf, sum((lesson) => lesson.exercises), left) : '');
  const next = course.querySelector('[data-course-next]');
  const first = lessons.find((lesson) => !lesson.read)?.row ?? course.querySelector('[data-course-closing]');
  const from = first?.querySelector('a');
  const link = next?.querySelector('a');
  next?.toggleAttribute('hidden', !begun || !from);
  if (!link || !from) return;
  write(link, from.textContent ?? '');
  link.href = from.href;
  if (from.lang) link.lang = from.lang;
  else link.removeAttribute('lang'); // an empty one would say that nobody knows it; a lesson's name is English on every page, that of a closing check is not
}

/** @param {HTMLElement} card @param {Progress} progress */
function showExercise(card, progress) {
  write(card.querySelector('[data-exercise-standing]'), exerciseWords(done(progress, `${card.dataset.lesson}/${card.id}`)));
}

/** @param {import('./record.js').Done} done */
function exerciseWords({ tries, own, fresh, shown }) {
  if (!own && fresh === 0) return tries > 0 ? say(words.exerciseTried, { count: tries }) : '';
  const standing = own ? (fresh > 0 ? words.exerciseAlsoFresh : words.exerciseSolved) : words.exerciseSolvedFresh;
  return shown ? say(words.exerciseShown, { standing }) : standing;
}

/** @param {Standing} lesson */
const lessonWords = ({ read, solved: count, exercises: all }) =>
  [read ? words.lessonRead : '', count > 0 ? say(words.lessonSolved, { solved: count, all }) : ''].filter(Boolean).join(', ');

/** @param {number} read @param {number} lessons @param {number} solved @param {number} all @param {number} left minutes */
const courseWords = (read, lessons, solved, all, left) =>
  say(words.courseStanding, { read, lessons, solved, all }) + (left > 0 ? ` ${say(words.courseLeft, { time: lasts(left) })}` : '');

/** A time of reading, as the page prints it. @param {number} minutes */
function lasts(minutes) {
  const [hours, count] = [Math.floor(minutes / 60), minutes % 60];
  if (hours === 0) return say(words.min, { count });
  return count === 0 ? say(words.hours, { hours }) : say(words.hoursMin, { hours, count });
}

/** @param {HTMLElement} line @param {Progress} progress */
function showPath(line, { lessons }) {
  const slugs = (line.dataset.pathLine ?? '').split(' ');
  const read = slugs.filter((slug) => lessons.has(slug)).length;
  tell(line.querySelector('[data-standing]'), read > 0 ? say(words.pathStanding, { read, all: slugs.length }) : '');
}

/** @param {HTMLElement} end @param {Progress} progress @param {string} trouble */
function showEnd(end, progress, trouble) {
  const lesson = standingOf(end, progress);
  end.querySelector('[data-mark-read]')?.setAttribute('aria-pressed', String(lesson.read));
  write(end.querySelector('[data-mark-read]'), lesson.read ? words.markedRead : words.markRead);
  const text = lessonWords(lesson);
  write(end.querySelector('[data-standing]'), [text && `${text}.`, trouble].filter(Boolean).join(' '));
}
