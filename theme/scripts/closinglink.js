// @ts-check
// The link of a closing check: #closing?SET, or #closing?SET?ANSWERS when it shows a finished one. ANSWERS is one entry for
// each question in order, then name and date: "a=1.2%20cm&a=…&name=…&date=2026-11-27". It holds nothing else, and
// everything in it is typed text.

import { SET } from './fresh.js';
import { readLink } from './link.js';

/** @typedef {{ set: string, answers: string[] | null, name: string, date: string }} Check */

const MOST = { answer: 40, name: 60 };

/**
 * @param {string} hash
 * @param {string} id
 * @param {number} count of questions
 * @returns {Check | null | 'refused'} null when the address says nothing about the check
 */
export function readCheck(hash, id, count) {
  const linked = readLink(hash, id, false);
  if (linked === null || linked === 'refused') return linked;
  if (!SET.test(linked.state)) return 'refused';
  if (linked.base === null) return { set: linked.state, answers: null, name: '', date: '' };
  const entries = new URLSearchParams(linked.base);
  const answers = entries.getAll('a');
  const name = entries.get('name') ?? '';
  const date = entries.get('date') ?? '';
  const known = [...entries.keys()].every((key) => ['a', 'name', 'date'].includes(key));
  if (!known || answers.length !== count || answers.some((text) => text.length > MOST.answer) || name.length > MOST.name) return 'refused';
  if (date !== '' && !/^\d{4,6}-\d{2}-\d{2}$/.test(date)) return 'refused';
  return { set: linked.state, answers, name, date };
}

/** @param {string} id @param {Check} check */
export function writeCheck(id, { set, answers, name, date }) {
  if (!answers) return `#${id}?${set}`;
  const entries = new URLSearchParams(answers.map((text) => ['a', text]));
  if (name) entries.append('name', name);
  if (date) entries.append('date', date);
  return `#${id}?${set}?${entries.toString().replaceAll('?', '%3F')}`;
}
