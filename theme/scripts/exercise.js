// @ts-check
// Grades a reader's answer, shows the steps afterwards, and has the outcome recorded. Reading numbers, units and near
// misses is the engine's business; what to say for each known mistake stands in the page.

import { freshNumbers } from './fresh.js';
import { change, done, load, oneMore, solved } from './record.js';
import * as words from '../words/en.json';
import { reason, told } from './refusal.js';
import { say } from './say.js';
import { write } from './readout.js';

/** @typedef {import('./calculators.js').Ask} Ask */
/** @typedef {{ verdict: string, hint: number, unit: string, read: string, error: string }} Judgement */

/**
 * @param {HTMLElement} root a [data-exercise]
 * @param {() => Promise<Ask | null>} getAsk
 * @param {AbortSignal} signal
 */
export function exercise(root, getAsk, signal) {
  const form = /** @type {HTMLFormElement | null} */ (root.querySelector('form[data-answer-form]'));
  const input = form?.querySelector('input');
  const verdict = /** @type {HTMLElement | null} */ (root.querySelector('[data-verdict]'));
  const solution = /** @type {HTMLDetailsElement | null} */ (root.querySelector('details.exercise-solution'));
  if (!form || !input || !verdict) return;
  const says = hints(root);
  const name = `${root.dataset.lesson}/${root.id}`;
  let counted = false; // whether these numbers were solved already
  const set = freshNumbers(root, getAsk, signal, () => {
    counted = false;
    input.value = '';
    input.removeAttribute('aria-invalid');
    write(verdict, '');
    delete verdict.dataset.result;
    if (solution) solution.open = false;
  });
  form.hidden = verdict.hidden = false; // a screen reader tells what changes in a line that it knows, and may miss a line that appears
  form.addEventListener('focusin', () => void getAsk(), { signal, once: true });
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    write(verdict, ''); // the same verdict once more is told once more
    const ask = await getAsk();
    const judgement = ask && input.value.trim() ? await judge(root, ask, input.value) : null;
    const result = judgement?.verdict ?? (ask ? 'empty' : 'failed');
    verdict.dataset.result = result;
    write(verdict, verdictOf(result, judgement, says));
    input.toggleAttribute('aria-invalid', false);
    if (result === 'unread') input.setAttribute('aria-invalid', 'true');
    if (judgement && result !== 'unread') record(name, result === 'right' && !counted, set());
    counted ||= result === 'right';
    if (solution && (result === 'right' || result === 'failed')) solution.open = true;
  }, { signal });
  solution?.querySelector('summary')?.addEventListener('click', () => {
    if (!solution.open && !solved(load().progress.exercises.get(name))) change((progress) => progress.exercises.set(name, { ...done(progress, name), shown: true }));
  }, { signal });
}

/** @param {string} name @param {boolean} solved for the first time with these numbers @param {string} set empty: the printed ones */
function record(name, solved, set) {
  change((progress) => {
    const now = done(progress, name);
    now.tries = oneMore(now.tries);
    if (solved && set) now.fresh = oneMore(now.fresh);
    now.own ||= solved && !set;
    progress.exercises.set(name, now);
  });
}

/**
 * @param {HTMLElement} root
 * @param {Ask} ask
 * @param {string} text
 * @returns {Promise<Judgement>}
 */
export async function judge(root, ask, text) {
  const { calculator = '', output = '', answer = '', tolerance = '', hintValues = '' } = root.dataset;
  const judgement = JSON.parse(await ask('grade', calculator, output, text, answer, tolerance, hintValues));
  return judgement.error?.text ? { verdict: 'unread', hint: -1, unit: '', read: '', error: told(judgement.error).text } : judgement;
}

/**
 * @param {string} result
 * @param {Judgement | null} judgement
 * @param {string[]} says
 */
export function verdictOf(result, judgement, says) {
  switch (result) {
    case 'right': return words.right;
    case 'unit': return judgement?.unit ? say(words.rightUnit, { unit: judgement.unit === 'in' ? words.inches : judgement.unit }) : words.rightNoUnit;
    case 'sign': return words.rightSign;
    case 'hint': return say(words.hint, { say: says[judgement?.hint ?? -1] ?? '' });
    case 'unread': return say(words.unread, { text: reason(judgement?.error ?? '') });
    case 'empty': return words.empty;
    case 'failed': return words.notGraded;
    default: return words.wrong;
  }
}

/** @param {HTMLElement} root @returns {string[]} what to say for each known mistake */
export function hints(root) {
  try {
    const list = JSON.parse(root.dataset.hints ?? '[]');
    return Array.isArray(list) ? list.map(String) : [];
  } catch {
    return []; // printed by the build, which proves it; without it an answer is judged all the same
  }
}
