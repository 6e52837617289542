// @ts-check
// What the engine of the fitting room says and refuses, in the language of the page.

import listed from '../words/en.room.json';
import { hearing, speaking } from './heard.js';

export { listed };
export const said = hearing(listed);
export const speak = speaking(said);
