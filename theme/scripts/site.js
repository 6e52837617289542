// @ts-check
// Comes once the first view is painted, finds what can be brought to life on a page and wires it. A plate's calculator loads when the plate is near
// the screen, the page calm and a reader there, or when it is touched; until then, and if it cannot load, the printed page stands.

import { recallUnits } from './chosen.js';
import { changeAgain, changedIn } from './early.js';
import { exercise } from './exercise.js';
import { tellFailures } from './failure.js';
import { headingLinks } from './headings.js';
import { languages } from './language.js';
import { linkOf } from './link.js';
import { keepControls, keepPages } from './offline.js';
import { offerSearch } from './offer.js';
import { linksOnward } from './onward.js';
import { place } from './place.js';
import { presence } from './presence.js';
import { printNotes } from './print.js';
import { settings } from './settings.js';
import { standing } from './standing.js';

const life = new AbortController();
const { signal } = life;
tellFailures(signal);
recallUnits();
const plates = /** @type {HTMLElement[]} */ ([...document.querySelectorAll('[data-plate][data-engine]')]);
const getAsk = () => import('./calculators.js').then(({ whenReady }) => whenReady());
/** @type {Map<HTMLElement, Promise<import('./plate.js').Plate | null>>} */
const awake = new Map();

/** @param {HTMLElement} root @returns {Promise<import('./plate.js').Plate | null>} */
function wake(root) {
  const promise = awake.get(root) ?? import('./live.js').then(({ live }) => live(root, signal)).then((plate) => {
    if (plate) changeAgain(root);
    return plate;
  });
  awake.set(root, promise);
  return promise;
}

const near = new IntersectionObserver((entries) => {
  for (const { isIntersecting, target } of entries) {
    if (!isIntersecting) continue;
    near.unobserve(target);
    void presence().then(() => wake(/** @type {HTMLElement} */ (target)));
  }
}, { rootMargin: '600px 0px' });

/** @param {HTMLElement} root */
async function show(root) {
  await presence();
  const [plate, { showThatItMoves }] = await Promise.all([wake(root), import('./live.js')]);
  if (plate) showThatItMoves(plate, signal);
}

// The first plate that is really looked at shows once that it moves.
const seen = new IntersectionObserver((entries) => {
  const entry = entries.find(({ isIntersecting }) => isIntersecting);
  if (!entry) return;
  seen.disconnect();
  const root = entry.target.closest('[data-plate]');
  if (root instanceof HTMLElement) void show(root);
}, { threshold: 0.7 });

if (plates.length > 0) void presence();
for (const root of plates) {
  near.observe(root);
  const drawing = root.querySelector('[data-figure]');
  if (drawing) seen.observe(drawing);
  for (const kind of ['pointerdown', 'focusin']) {
    root.addEventListener(kind, () => void wake(root), { signal, once: true, passive: true });
  }
  if (changedIn(root)) void wake(root);
}

for (const root of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll('[data-exercise]'))) {
  exercise(root, getAsk, signal);
}
standing(signal);
const tools = /** @type {HTMLElement | null} */ (document.querySelector('[data-progress-tools]'));
if (tools) void import('./progressfile.js').then(({ progressFile }) => progressFile(tools, signal));
const closing = /** @type {HTMLElement | null} */ (document.querySelector('[data-closing]'));
if (closing) void import('./closing.js').then((module) => module.closing(closing, getAsk, signal));

function followLink() {
  const root = plates.find((plate) => linkOf(plate) !== null);
  if (!root) return;
  seen.disconnect(); // a shared state must stand still
  root.scrollIntoView();
  void (awake.get(root)?.then((plate) => plate?.openLink()) ?? wake(root));
}

for (const root of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll('[data-sheet]'))) {
  void Promise.all([import('./placement.js'), import('./copy.js')]).then(([{ placementSheet }, { copyText }]) => placementSheet(root, getAsk, copyText, signal));
}

printNotes(signal);
headingLinks(signal);
settings(signal);
languages(signal);
if (document.querySelector('[data-nearest]')) void import('./missing.js').then(({ offerNearest }) => offerNearest(place));
offerSearch(signal);
linksOnward(signal);
keepPages(signal);
const controls = /** @type {HTMLElement | null} */ (document.querySelector('[data-keep]'));
if (controls) keepControls(controls, signal);
window.addEventListener('hashchange', followLink, { signal });
followLink();
performance.mark('alive');
