// @ts-check
// The sentence about a cell that was refused: where it is, what it holds, what is allowed. The reason comes from the engine.

import * as words from '../words/en.json';
import { say } from './say.js';

/** @param {string} place @param {string} given @param {string} allowed */
export const refusal = (place, given, allowed) =>
  (given ? say(words.refusedCell, { place, given, allowed }) : say(words.refusedEmptyCell, { place, allowed }));
