// @ts-check
// The dialog of the search: a line to type in, and under it links, which the arrow keys walk. It fetches the index when
// it is first opened, and the texts for the excerpts after that. It knows nothing of how places are ranked.

import * as words from '../words/en.json';
import { excerpt, find, openIndex } from './find.js';

const most = 20; // results shown; a reader types another word sooner than reading on

/**
 * @template {keyof HTMLElementTagNameMap} Tag
 * @param {Tag} tag @param {Record<string, string>} attributes @param {...(Node | string)} children
 * @returns {HTMLElementTagNameMap[Tag]}
 */
function make(tag, attributes, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

/** @param {string} address @returns {Promise<string>} */
async function load(address) {
  const response = await fetch(address);
  if (!response.ok) throw new Error(String(response.status));
  return response.text();
}

/**
 * Handed in, so that pages need not load them as files apart.
 * @typedef {{ say: typeof import('./say.js').say, place: typeof import('./place.js').place,
 *   keyless: (line: HTMLInputElement, signal: AbortSignal) => void }} Tools
 */

/** What the kinds of place are called. @type {Record<string, string>} */
const kinds = {
  lesson: words.kindLesson, section: words.kindSection, example: words.workedExample, exercise: words.exercise, plate: words.kindPlate,
  calculator: words.kindCalculator, field: words.kindField, result: words.kindResult, term: words.kindTerm, source: words.kindSource,
  character: words.kindCharacter, path: words.kindPath,
};

/** @param {number} found @param {number} shown @param {string} query @param {Tools['say']} say */
function counted(found, shown, query, say) {
  if (found === 0) return say(words.searchNone, { query });
  return found > shown ? say(words.searchMany, { found, shown }) : say(words.searchCount, { count: found });
}

/**
 * @param {import('./find.js').Found} found @param {string[]} texts those of all places, once they are there
 * @param {Tools['place']} place @returns {HTMLLIElement}
 */
function item({ id, href, kind, title, page, terms }, texts, place) {
  const link = make('a', { class: 'search-result', href: place(href) },
    make('span', { class: 'search-title', lang: 'en' }, title), ' ',
    make('span', { class: 'search-where' }, [kinds[kind] ?? '', ...(page ? [page] : [])].join(' · ')));
  const pieces = excerpt(texts[id] ?? '', terms);
  if (pieces.length > 0) {
    link.append(' ', make('span', { class: 'search-excerpt', lang: 'en' },
      ...pieces.map(({ text, met }) => (met ? make('mark', {}, text) : text))));
  }
  return make('li', {}, link);
}

/**
 * @param {DOMStringMap} places search: the address of the index
 * @param {Tools} tools @param {AbortSignal} signal
 * @returns {(typed?: string) => void} opens the dialog, with what was typed before it came
 */
export function search({ search: indexAt = '' }, { say, place, keyless }, signal) {
  const input = make('input', { class: 'search-input', id: 'search-input', type: 'text', inputmode: 'search', role: 'searchbox',
    enterkeyhint: 'go', autocomplete: 'off', autocapitalize: 'none', spellcheck: 'false', 'aria-describedby': 'search-help' });
  const close = make('button', { class: 'search-close', type: 'button' }, words.searchClose);
  const status = make('p', { class: 'search-status', role: 'status' });
  const results = make('ol', { class: 'search-results' });
  const form = make('form', { class: 'search-form', role: 'search' },
    make('label', { class: 'search-label', for: 'search-input' }, words.searchLabel), input, close);
  const dialog = make('dialog', { class: 'search', 'aria-label': words.searchLabel }, form, status, results,
    make('p', { class: 'search-help', id: 'search-help' }, words.searchHelp));
  document.body.append(dialog);

  /** @type {import('minisearch').default | null} */
  let index = null;
  /** @type {string[]} */ let texts = [];

  const show = () => {
    const query = input.value.trim();
    const list = index && query ? find(index, query) : [];
    const links = list.slice(0, most).map((found) => item(found, texts, place));
    results.replaceChildren(...links);
    results.scrollTop = 0;
    if (index) status.textContent = query ? counted(list.length, links.length, query, say) : '';
  };

  async function start() {
    status.textContent = words.searchLoading;
    let textsAt;
    try {
      ({ index, texts: textsAt } = openIndex(await load(indexAt)));
    } catch {
      opening = undefined; // the next opening tries again
      status.replaceChildren(words.searchFailed, ' ', make('a', { href: place('/lessons/') }, words.lessons), ', ',
        make('a', { href: place('/glossary/') }, words.glossary), '.');
      return;
    }
    show();
    try {
      texts = JSON.parse(await load(textsAt));
      if (!results.contains(document.activeElement)) show();
    } catch { /* results without excerpts still lead there */ }
  }
  /** @type {Promise<void> | undefined} */ let opening;

  /** @param {KeyboardEvent} event moves among the line and the links */
  function walk(event) {
    if (event.isComposing) return; // the keys walk among the characters that are offered
    const links = [...results.querySelectorAll('a')];
    const stops = [input, ...links];
    const at = stops.indexOf(/** @type {any} */ (document.activeElement));
    /** @type {Record<string, number>} */
    const moves = { ArrowDown: Math.min(at + 1, links.length), ArrowUp: Math.max(at - 1, 0) };
    if (at > 0) Object.assign(moves, { Home: 1, End: links.length });
    const to = moves[event.key];
    if (to !== undefined && at >= 0) {
      event.preventDefault();
      stops[to]?.focus();
    } else if (at > 0 && (event.key.length === 1 || event.key === 'Backspace') && !event.ctrlKey && !event.metaKey && !event.altKey) {
      input.focus(); // typing goes on where the word stands
    }
  }

  keyless(input, signal);
  input.addEventListener('input', show, { signal });
  dialog.addEventListener('keydown', walk, { signal });
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    results.querySelector('a')?.click();
  }, { signal });
  close.addEventListener('click', () => dialog.close(), { signal });
  dialog.addEventListener('click', ({ target }) => {
    if (target === dialog || (target instanceof Element && target.closest('a'))) dialog.close();
  }, { signal });
  return (typed = '') => {
    if (!dialog.open) dialog.showModal();
    input.focus();
    if (typed) input.value = typed;
    else input.select();
    show();
    opening ??= start();
  };
}
