// @ts-check
// The lines over the surfaces: segments, the two pivots with their names and their distance, the turning axis, the axes
// of the world as ink lines with letters. The signs are those of all figures. It computes no pose.

import * as words from '../words/en.json';
import { add, dot, length, unitAlong } from './camera.js';
import { draw } from './figure.js';
import { decorate } from './handles.js';
import { axisOf, jointOf, pivotOf } from './roomstate.js';
import { say } from './say.js';
import { inUnit } from './units.js';

/** @typedef {import('./roomstate.js').Vec} Vec */
/** @typedef {import('./figure.js').Element_} Element_ */

/** @param {string} tag @param {Record<string, string | number>} attributes @param {import('./figure.js').Tree[]} children @returns {Element_} */
const el = (tag, attributes, ...children) => [tag, Object.fromEntries(Object.entries(attributes).map(([k, v]) => [k, typeof v === 'number' ? v.toFixed(1) : v])), children];

/** @param {readonly number[]} a @param {readonly number[]} b @param {string} name */
const line = ([x1 = 0, y1 = 0], [x2 = 0, y2 = 0], name) => el('line', { class: name, x1, y1, x2, y2 });

/** @param {Float32Array} list @param {number} i @returns {Vec} */
const point = (list, i) => [list[3 * i] ?? 0, list[3 * i + 1] ?? 0, list[3 * i + 2] ?? 0];

/**
 * @param {HTMLElement} stage
 * @param {import('./camera.js').Camera} view
 * @param {import('./roomview.js').Shown} shown
 * @param {boolean} beside
 */
export function marks(stage, view, shown, beside) {
  const place = stage.querySelector('[data-marks]');
  if (!place) return;
  const width = view.width * (beside ? 2 : 1);
  const sides = beside ? [half(view, shown, 0, true, false), half(view, shown, view.width, false, true)] : [half(view, shown, 0, true, true)];
  const parting = beside ? [line([view.width, 0], [view.width, view.height], 'line hair mark-guide')] : [];
  const drawing = draw(place, el('svg', { class: 'figure', viewBox: `0 0 ${width.toFixed(1)} ${view.height.toFixed(1)}`, role: 'group', 'aria-label': words.roomDrawing }, 
    el('g', {}, ...sides, ...parting, compass(view)), handle(view, shown, beside ? view.width : 0))); // always in one place, or it would lose the focus
  if (drawing) decorate(drawing, [handleText(shown)]);
}

/** What the handle says to assistive technology. @param {import('./roomview.js').Shown} shown */
function handleText({ scene, state }) {
  const [joint, pivot] = [jointOf(scene, state), pivotOf(scene, state)];
  const [x = '', y = '', z = ''] = pivot.map((v) => inUnit(v, state.unit));
  const moved = length(add(pivot, joint.at, -1));
  const valuetext = say(words.roomHandleAt, { x, y, z, unit: state.unit, moved: moved.toFixed(2) });
  return { name: say(words.roomHandle, { joint: joint.name }), valuetext, axes: [{ field: '', min: 0, max: Math.max(100, moved), now: Number(moved.toFixed(3)), text: valuetext }] };
}

/** @param {import('./camera.js').Camera} view @param {import('./roomview.js').Shown} shown @param {number} left @param {boolean} current @param {boolean} candidate */
function half(view, { scene, state, joints }, left, current, candidate) {
  const at = (/** @type {Vec} */ p) => { const [x, y] = view.place(p); return [left + x, y]; };
  const moved = state.pivots[state.joint] !== undefined;
  const posed = joints[candidate ? 1 : 0];
  const parts = [];
  for (const { id, parent } of scene.joints) {
    if (parent >= 0) parts.push(line(at(point(posed, parent)), at(point(posed, id)), 'line mark-bone room-segment'));
  }
  for (const { id } of scene.joints) {
    const [cx = 0, cy = 0] = at(point(posed, id));
    if (id !== state.joint) parts.push(el('circle', { class: 'marker open mark-bone', cx, cy, r: 2.6 }));
  }
  const [now, next] = [point(joints[0], state.joint), point(joints[1], state.joint)];
  const middle = candidate ? next : now;
  if (state.clip < 0) {
    const axis = axisOf(scene, state);
    const far = 0.16 * Math.min(view.width, view.height) / view.scale;
    parts.push(line(at(add(middle, axis, -far)), at(add(middle, axis, far)), 'line hair mark-guide room-axis'));
  }
  if (candidate && state.drag !== 'plane') {
    const axis = unitAlong(state.drag);
    parts.push(line(at(add(next, axis, -1e3)), at(add(next, axis, 1e3)), 'line hair mark-candidate'));
  }
  const [from, to] = [at(now), at(next)];
  if (current && candidate && moved) parts.push(...dimension(from, to, length(add(next, now, -1))));
  if (current) parts.push(ring(from), ...(moved ? [label(from, words.roomMarkCurrent, 'mark-current', !candidate || (from[1] ?? 0) >= (to[1] ?? 0))] : []));
  if (candidate && moved) parts.push(label(to, words.roomMarkCandidate, 'mark-candidate', current && (to[1] ?? 0) > (from[1] ?? 0)));
  return el('g', {}, ...parts);
}

/** @param {number[]} at */
const ring = ([cx = 0, cy = 0]) => el('circle', { class: 'marker ring room-ring mark-current', cx, cy, r: 7 });

/** The diamond that a hand takes hold of. @param {import('./camera.js').Camera} view @param {import('./roomview.js').Shown} shown @param {number} left */
function handle(view, { state, joints }, left) {
  const [right, y] = view.place(point(joints[1], state.joint));
  const x = left + right;
  return el('g', { class: 'handle mark-candidate', 'data-handle': '0' },
  el('circle', { class: 'handle-hit', cx: x, cy: y, r: 22 }),
  el('polygon', { class: 'marker diamond', points: [[0, -8], [8, 0], [0, 8], [-8, 0]].map(([dx = 0, dy = 0]) => `${(x + dx).toFixed(1)},${(y + dy).toFixed(1)}`).join(' ') }));
}

/** @param {number[]} at @param {string} text @param {string} mark @param {boolean} below */
const label = ([x = 0, y = 0], text, mark, below) => el('text', { class: `label ${mark}`, x: x + 12, y: y + (below ? 22 : -13), 'font-size': '14' }, text);

/** A dimension line beside the two pivots. @param {number[]} from @param {number[]} to @param {number} cm @returns {Element_[]} */
function dimension([ax = 0, ay = 0], [bx = 0, by = 0], cm) {
  const long = Math.hypot(bx - ax, by - ay);
  if (long < 24) return [line([ax, ay], [bx, by], 'line hair mark-guide')];
  const [ox, oy] = [((by - ay) / long) * 20, ((ax - bx) / long) * 20];
  const [a, b] = [[ax + ox, ay + oy], [bx + ox, by + oy]];
  const anchor = ox < 0 ? 'end' : 'start';
  return [line([ax, ay], a, 'extension'), line([bx, by], b, 'extension'), line(a, b, 'dimension'),
    ...[a, b].map(([x = 0, y = 0]) => line([x - 3, y + 3], [x + 3, y - 3], 'tick')),
    el('text', { class: 'label mark-bone', x: (ax + bx) / 2 + ox * 1.35, y: (ay + by) / 2 + oy * 1.35 + 4, 'text-anchor': anchor, 'font-size': '14' }, `${cm.toFixed(2)} cm`)];
}

/** The axes of the world, seen as the character is seen. @param {import('./camera.js').Camera} view */
function compass(view) {
  const [ox, oy, size] = [46, view.height - 46, 28];
  return el('g', { 'aria-hidden': 'true' }, ...['x', 'y', 'z'].flatMap((letter) => {
    const axis = unitAlong(letter);
    const [dx, dy] = [dot(axis, view.basis[0]), -dot(axis, view.basis[1])];
    const [x, y, flat] = [ox + size * dx, oy + size * dy, Math.hypot(dx, dy)];
    const [ux, uy] = flat > 0.15 ? [dx / flat, dy / flat] : [0, 0];
    const head = flat > 0.15 ? [el('polygon', { class: 'arrow mark-bone', points: `${x.toFixed(1)},${y.toFixed(1)} ${(x - 7 * ux - 2.6 * uy).toFixed(1)},${(y - 7 * uy + 2.6 * ux).toFixed(1)} ${(x - 7 * ux + 2.6 * uy).toFixed(1)},${(y - 7 * uy - 2.6 * ux).toFixed(1)}` })] : [];
    return [line([ox, oy], [x, y], 'line hair mark-bone'), ...head,
      el('text', { class: 'label mark-bone', x: ox + (size + 11) * dx, y: oy + (size + 11) * dy + 4, 'text-anchor': 'middle', 'font-size': '13' }, letter)];
  }));
}
