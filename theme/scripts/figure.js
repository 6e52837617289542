// @ts-check
// Applies a tree ["svg", {attributes}, [children]], a drawing or the parts of a page that hold some, to what stands in the
// page, changing only what differs. Elements and attributes outside the lists below are skipped; text is only ever text.
// It knows nothing of calculators.

/** @typedef {[string, Record<string, string>, Tree[]]} Element_ */
/** @typedef {Element_ | string} Tree */

const NS = 'http://www.w3.org/2000/svg';
const TAGS = new Set(('svg title desc defs g path line polyline polygon circle ellipse rect text tspan use marker '
  + 'pattern clipPath symbol').split(' '));
/** Elements of a page, outside of drawings. */
const PARTS = new Set('section article header div h2 h3 p dl dt dd table caption thead tbody tr th td'.split(' '));
const NAMES = new Set(('id class d x y x1 y1 x2 y2 cx cy r rx ry dx dy width height points transform viewBox role '
  + 'preserveAspectRatio text-anchor dominant-baseline href marker-start marker-mid marker-end clip-path refX refY '
  + 'scope orient markerWidth markerHeight markerUnits patternUnits patternTransform patternContentUnits pathLength rotate '
  + 'fill fill-opacity opacity stroke-width font-size').split(' '));

/** @param {string} name */
const allowedName = (name) => NAMES.has(name) || /^(aria|data)-[a-z-]+$/.test(name);

/** What was drawn last, where nothing of it was refused: what follows is compared with it, and the page is not read. @type {WeakMap<Node, Element_>} */
const drawn = new WeakMap();
let whole = true; // nothing was refused so far

/** Links stay inside the drawing: nothing is ever fetched. @param {string} name @param {string} value */
const allowedValue = (name, value) => (name === 'href' ? value.startsWith('#') : !/url\((?!["']?#)/i.test(value));

/**
 * Makes the content of place the drawing, reusing what stands there.
 * @param {Element} place
 * @param {Element_} tree
 * @returns {SVGSVGElement | null} the drawing
 */
export const draw = (place, tree) => /** @type {SVGSVGElement | null} */ (put(place, place.querySelector('svg'), tree));

/**
 * Makes the content of place one part of a page.
 * @param {Element} place
 * @param {Element_} tree
 */
export const drawPart = (place, tree) => put(place, place.firstElementChild, tree);

/**
 * @param {Element} place
 * @param {Element | null} now what stands there
 * @param {Element_} tree
 */
function put(place, now, tree) {
  whole = true;
  const next = /** @type {Element | null} */ (patch(now, tree, place, now ? drawn.get(now) : undefined));
  if (next && next !== now) {
    if (now) now.replaceWith(next);
    else place.append(next);
  }
  if (next && whole) drawn.set(next, tree);
  else if (next) drawn.delete(next);
  return next;
}

/**
 * @param {Node | null} node what stands there
 * @param {Tree} tree what should
 * @param {Element} parent
 * @param {Tree} [old] what was drawn into the node before, if it is known
 * @returns {Node | null} node itself when it could be changed in place, a new one otherwise, null when refused
 */
function patch(node, tree, parent, old) {
  if (typeof tree === 'string') {
    if (node?.nodeType !== Node.TEXT_NODE) return document.createTextNode(tree);
    if (old !== tree && node.nodeValue !== tree) node.nodeValue = tree;
    return node;
  }
  const [tag, attributes, children] = tree;
  const known = node && typeof old === 'object' && old[0] === tag ? old : undefined;
  if (known) return renew(/** @type {Element} */ (node), known, tree);
  const inDrawing = tag === 'svg' || parent instanceof SVGElement;
  if (!(inDrawing ? TAGS : PARTS).has(tag)) {
    whole = false;
    return null;
  }
  const same = node instanceof (inDrawing ? SVGElement : HTMLElement) && node.localName === tag;
  const element = same ? /** @type {Element} */ (node) : inDrawing ? document.createElementNS(NS, tag) : document.createElement(tag);
  patchAttributes(element, attributes);
  patchChildren(element, children, []);
  return element;
}

/** @param {Element} element @param {Element_} old what was drawn into it @param {Element_} tree */
function renew(element, [, had, before], [, attributes, children]) {
  for (const name in had) if (!(name in attributes) && !kept(element, name)) element.removeAttribute(name);
  for (const name in attributes) if (had[name] !== attributes[name]) write(element, name, attributes[name] ?? '');
  patchChildren(element, children, before);
  return element;
}

/**
 * Sets what the tree names and removes what it does not; attributes that the page adds to handles (tabindex, aria) stay.
 * @param {Element} element
 * @param {Record<string, string>} attributes
 */
function patchAttributes(element, attributes) {
  for (const { name } of [...element.attributes]) {
    if (!(name in attributes) && !kept(element, name)) element.removeAttribute(name);
  }
  for (const [name, value] of Object.entries(attributes)) {
    if (element.getAttribute(name) !== value) write(element, name, value);
  }
}

/** @param {Element} element @param {string} name @param {string} value */
function write(element, name, value) {
  if (allowedName(name) && allowedValue(name, value)) element.setAttribute(name, value);
}

/** @param {Element} element @param {string} name */
const kept = (element, name) =>
  element.hasAttribute('data-handle') && (name === 'tabindex' || name === 'role' || name.startsWith('aria-') || name === 'data-moving');

/**
 * @param {Element} element
 * @param {Tree[]} children
 * @param {Tree[]} before the children that were drawn, if they are known
 */
function patchChildren(element, children, before) {
  let at = element.firstChild;
  let i = 0;
  for (const child of children) {
    const next = patch(at, child, element, before[i]);
    i += 1;
    if (!next) continue;
    if (next === at) {
      at = at.nextSibling;
      continue;
    }
    const after = /** @type {ChildNode | null} */ (at?.nextSibling ?? null);
    if (at) element.replaceChild(next, at);
    else element.append(next);
    at = after;
  }
  while (at) {
    const after = /** @type {ChildNode | null} */ (at.nextSibling);
    at.remove();
    at = after;
  }
}
