// @ts-check
// The sentences that calculators make, in the language of the page. They come with the first plate, and not with every page.

import listed from '../words/en.sentences.json';
import { hearing, speaking } from './heard.js';

export const own = hearing(listed);
export const speak = speaking(own);
