// @ts-check
// The sentences that calculators make, in the language of the page. They come with the first plate, and not with every page.

import { hearing, speaking } from './heard.js';
import { sentences } from './spoken.js';

export const own = hearing(sentences);
export const speak = speaking(own);
