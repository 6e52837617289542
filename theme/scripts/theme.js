// @ts-check
// Runs before the page is painted: takes the reader's choice of light or dark into the page, so that nothing flashes.
// It is a program of its own, loaded in the head; what the choice looks like is the style sheet's business.

import { kept } from './keep.js';
import { showTheme } from './scheme.js';

const choice = kept('theme');
if (choice) showTheme(choice);
