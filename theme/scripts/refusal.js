// @ts-check
// The sentences about what was refused: a cell, with where it is, what it holds and what is allowed, and a link. The reasons come from the engine.

import * as words from '../words/en.json';
import { say } from './say.js';

/** @param {string} place @param {string} given @param {string} allowed */
export const refusal = (place, given, allowed) =>
  (given ? say(words.refusedCell, { place, given, allowed }) : say(words.refusedEmptyCell, { place, allowed }));

/** @param {import('./readout.js').Refusal | undefined} why of a value, where the link as such can be read; its field may be anything */
export const refusedLink = (why) => [words.linkRefused, ...(why ? [why.field ? say(words.refused, { label: why.field.slice(0, 40), text: why.text }) : `${why.text}.`] : [])].join(' ');
