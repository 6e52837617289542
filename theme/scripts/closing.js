// @ts-check
// A closing check: asks the exercises of a path with the numbers of one set, grades them, and shows a finished check from
// its link alone, computing every answer again. What is right is the engine's business.

import { carried, carry, done, underWay, watchCarried } from './carry.js';
import { readCheck, writeCheck } from './closinglink.js';
import { gradeOne, itemOf, today } from './closingitem.js';
import { copyText } from './copy.js';
import { anySet, numbersOf, putIn, SET } from './fresh.js';
import { write } from './readout.js';
import * as words from '../words/en.json';
import { say } from './say.js';

/** @typedef {import('./closinglink.js').Check} Check */
/** @typedef {import('./calculators.js').Ask} Ask */

/**
 * @param {HTMLElement} root a [data-closing]
 * @param {() => Promise<Ask | null>} getAsk
 * @param {AbortSignal} signal
 */
export function closing(root, getAsk, signal) {
  const one = (/** @type {string} */ selector) => /** @type {HTMLElement} */ (root.querySelector(selector));
  const show = (/** @type {string} */ selector, /** @type {boolean} */ on) => { one(selector).hidden = !on; };
  const items = /** @type {HTMLElement[]} */ ([...root.querySelectorAll('[data-question]')]).map(itemOf);
  const name = /** @type {HTMLInputElement} */ (one('#closing-name'));
  const date = /** @type {HTMLInputElement} */ (one('#closing-date'));
  const form = one('[data-closing-form]');
  const questions = items.map(({ card }) => card.id);
  let set = '';

  /** Puts a set of numbers into all questions. @param {string} wanted */
  const pose = async (wanted) => {
    const ask = await getAsk();
    const numbers = ask ? await Promise.all(items.map(({ card }, i) => numbersOf(card, ask, `${wanted}.${i + 1}`))) : [];
    if (!ask || numbers.includes(null)) {
      notice(words.closingFailed);
      return null;
    }
    set = wanted;
    items.forEach(({ card }, i) => putIn(card, /** @type {import('./fresh.js').Numbers} */ (numbers[i])));
    for (const body of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll('[data-closing-body]'))) body.hidden = false;
    return ask;
  };
  const notice = (/** @type {string} */ text) => {
    write(one('[data-closing-notice]'), text);
    show('[data-closing-notice]', text !== '');
  };
  /** Grades what stands in the inputs. @param {Ask} ask @param {boolean} whole the check is finished: empty ones are told too */
  const grade = async (ask, whole) => (await Promise.all(items.map((item) => gradeOne(item, ask, whole)))).filter(Boolean).length;

  const fill = (/** @type {readonly string[] | null | undefined} */ answers) => items.forEach(({ input }, i) => { input.value = answers?.[i] ?? ''; });

  /** Shows the questions, and puts their set into the address. @param {string} wanted */
  const address = (wanted) => {
    history.replaceState(null, '', writeCheck(root.id, { set: wanted, answers: null, name: '', date: '' }));
    layout(false);
  };
  const begin = async () => {
    fill(null);
    const [before, wanted] = [set, anySet()];
    if (!await pose(wanted)) return;
    done(before);
    address(wanted);
    items[0]?.input.focus();
  };
  /** @param {boolean} finished */
  const layout = (finished) => {
    root.toggleAttribute('data-finished', finished);
    for (const part of ['begin', 'end']) show(`[data-closing-${part}]`, false);
    for (const part of ['lead', 'tools']) show(`[data-closing-${part}]`, !finished);
    for (const part of ['sheet', 'actions']) show(`[data-closing-${part}]`, finished);
    for (const line of ['result', 'copied']) write(one(`[data-closing-${line}]`), '');
    for (const { card, said, verdict } of items) {
      said.hidden = !finished;
      verdict.hidden = true; // until the answers are graded
      /** @type {HTMLElement} */ (card.querySelector('.exercise-form')).hidden = finished;
    }
  };
  /** Shows a finished check. @param {Check} linked */
  const finish = async (linked) => {
    const ask = await pose(linked.set);
    if (!ask || !linked.answers) return;
    fill(linked.answers);
    layout(true);
    const right = await grade(ask, true);
    write(one('[data-fact-name]'), linked.name || words.notGiven);
    write(one('[data-fact-date]'), linked.date || words.notGiven);
    write(one('[data-fact-set]'), linked.set);
    write(one('[data-fact-result]'), say(words.closingResult, { right, all: items.length }));
    items.forEach(({ said, card }, i) => write(said, say(words.closingAnswer, { given: linked.answers?.[i] || words.noneGiven, computed: card.dataset.computed ?? '' })));
  };
  /** Goes on with what was begun on another day, or in another tab. @returns {Promise<boolean>} whether there is such a check */
  const resume = async () => {
    const under = underWay(questions);
    if (!under || !SET.test(under.set) || !await pose(under.set)) return false;
    address(under.set);
    fill(under.answers);
    return true;
  };
  const follow = async () => {
    const linked = readCheck(location.hash, root.id, items.length);
    notice(linked === 'refused' ? words.closingRefused : '');
    if (linked === null && set === '' && await resume()) return;
    if (linked === null || linked === 'refused') show('[data-closing-begin]', set === '');
    else if (linked.answers) await finish(linked);
    else if ((linked.set !== set || root.hasAttribute('data-finished')) && await pose(linked.set)) {
      layout(false);
      fill(carried(set, questions) ?? history.state?.answers);
    }
  };

  root.addEventListener('click', (event) => {
    if (!(event.target instanceof Element)) return;
    if (event.target.closest('[data-begin]')) void begin();
    if (event.target.closest('[data-print]')) window.print();
    if (event.target.closest('[data-copy-link]')) void copyText(location.href, one('[data-closing-copied]'));
  }, { signal });
  const hold = () => history.replaceState({ ...history.state, answers: items.map(({ input }) => input.value) }, '');
  form.addEventListener('change', hold, { signal });
  form.addEventListener('input', () => carry(set, items.map(({ card, input }) => [card.id, input.value])), { signal });
  watchCarried(() => {
    const now = root.hasAttribute('data-finished') ? null : carried(set, questions);
    if (now) fill(now);
  }, signal);
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    write(one('[data-closing-result]'), '');
    const ask = await getAsk();
    if (!ask || !set) return;
    const right = await grade(ask, false);
    write(one('[data-closing-result]'), say(words.closingResult, { right, all: items.length }));
    show('[data-closing-end]', right > 0);
    date.value ||= today();
    if (right < items.length) items.find(({ verdict }) => verdict.dataset.result !== 'right')?.input.focus();
  }, { signal });
  one('[data-closing-end]').addEventListener('submit', async (event) => {
    event.preventDefault();
    const linked = { set, answers: items.map(({ input }) => input.value.trim()), name: name.value.trim(), date: date.value };
    hold();
    done(set);
    history.pushState(history.state, '', writeCheck(root.id, linked));
    await finish(linked);
    root.querySelector('h1')?.scrollIntoView();
    one('[data-closing-sheet]').focus({ preventScroll: true }); // the button is gone
  }, { signal });
  window.addEventListener('hashchange', () => void follow(), { signal });
  window.addEventListener('popstate', () => void follow(), { signal });
  void follow();
}
