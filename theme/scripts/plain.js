// @ts-check
// Draws the posed surfaces on a plain canvas where WebGL is missing: washes in layers from back to front, and an outline
// where the surface turns away from the reader. It shows what ink.js shows, with fewer strokes.

import { chained, edgesOf, read } from './edges.js';

/** @typedef {import('./roomview.js').Surfaces} Surfaces */
/** @typedef {import('./camera.js').Camera} Camera */

/** Layers in depth, and tones in each. */
const LAYERS = 32;
const TONES = 5;
/** Where the light comes from, as in the engraving. */
const LIGHT = [-0.45, 0.65, 0.6];

/**
 * @param {HTMLCanvasElement} canvas
 * @returns {import('./roomview.js').Drawing | null}
 */
export function drawing(canvas) {
  const pen = canvas.getContext('2d');
  if (!pen) return null;
  let triangles = new Uint32Array();
  let edges = new Uint32Array();
  /** @type {Surfaces | null} */
  let shown = null;
  let colours = { ink: '', paper: '', current: '', candidate: '' };

  /** @param {Surfaces['current']} surface @param {Camera} view @param {string} line @param {number} left px */
  const body = ([at, normals], view, line, left) => {
    const flat = flatten(at, view, left);
    const { fills, outlines } = layered(flat, normals, triangles, edges, view);
    pen.lineJoin = 'round';
    for (let layer = 0; layer < LAYERS; layer++) {
      for (let tone = 0; tone < TONES; tone++) {
        pen.fillStyle = pen.strokeStyle = mixed(colours.ink, colours.paper, 0.03 + 0.07 * tone);
        pen.lineWidth = 0.6; // closes the seams
        const path = fills[layer * TONES + tone];
        if (path) pen.fill(path), pen.stroke(path);
      }
      outline(outlines[layer - 2], line); // two layers late, or the next ones would cover half of it
    }
    for (const path of outlines.slice(-2)) outline(path, line);
  };

  /** @param {Path2D | undefined} path @param {string} colour */
  const outline = (path, colour) => {
    [pen.strokeStyle, pen.lineWidth] = [colour, 1.6];
    if (path) pen.stroke(path);
  };

  /**
   * The outline of one placement where it differs from the other.
   * @param {Surfaces['current']} surface @param {Surfaces['current']} others @param {Camera} view @param {string} colour @param {number[]} dashes
   */
  const apart = ([at, normals], [other], view, colour, dashes) => {
    const flat = flatten(at, view, 0);
    const { turning } = layered(flat, normals, triangles, edges, view);
    const off = (/** @type {number} */ p) => Math.hypot(read(at, 3 * p) - read(other, 3 * p), read(at, 3 * p + 1) - read(other, 3 * p + 1), read(at, 3 * p + 2) - read(other, 3 * p + 2)) * view.scale;
    pen.setLineDash(dashes);
    [pen.strokeStyle, pen.lineWidth] = [colour, 1.6];
    pen.beginPath();
    for (const run of chained(turning.filter(([a, b]) => off(a) > 0.7 || off(b) > 0.7))) {
      run.forEach((p, i) => pen[i === 0 ? 'moveTo' : 'lineTo'](read(flat, 3 * p), read(flat, 3 * p + 1)));
    }
    pen.stroke();
    pen.setLineDash([]);
  };

  return {
    begin(list, rest) { [triangles, edges] = [list, edgesOf(list, rest)]; },
    pose(surfaces) { shown = surfaces; },
    tint(tokens) { colours = tokens; },
    draw({ view, beside, moved, ratio }) {
      canvas.width = Math.round((beside ? 2 : 1) * view.width * ratio);
      canvas.height = Math.round(view.height * ratio);
      if (!shown) return;
      pen.scale(ratio, ratio);
      if (beside) body(moved ? shown.current : shown.candidate, view, colours.ink, 0);
      body(shown.candidate, view, colours.ink, beside ? view.width : 0);
      if (!moved || beside) return;
      apart(shown.candidate, shown.current, view, colours.candidate, []);
      apart(shown.current, shown.candidate, view, colours.current, [7, 5]);
    },
    end() {},
  };
}

/** Places on the sheet, with the depth toward the reader. @param {Float32Array} at @param {Camera} view @param {number} left */
function flatten(at, { basis: [r, u, t], target: [tx, ty, tz], scale, width, height }, left) {
  const flat = new Float32Array(at.length);
  for (let i = 0; i < at.length; i += 3) {
    const [x, y, z] = [read(at, i) - tx, read(at, i + 1) - ty, read(at, i + 2) - tz];
    flat[i] = left + width / 2 + scale * (r[0] * x + r[1] * y + r[2] * z);
    flat[i + 1] = height / 2 - scale * (u[0] * x + u[1] * y + u[2] * z);
    flat[i + 2] = t[0] * x + t[1] * y + t[2] * z;
  }
  return flat;
}

/**
 * Sorts what faces the reader into paths by depth and tone, and the edges where that ends by depth.
 * @param {Float32Array} flat @param {Float32Array} normals @param {Uint32Array} triangles @param {Uint32Array} edges @param {Camera} view
 */
function layered(flat, normals, triangles, edges, { basis }) {
  const fills = Array.from({ length: LAYERS * TONES }, () => new Path2D());
  const outlines = Array.from({ length: LAYERS }, () => new Path2D());
  const facing = new Uint8Array(triangles.length / 3);
  const light = [0, 1, 2].map((k) => basis.reduce((sum, axis, i) => sum + (LIGHT[i] ?? 0) * (axis[k] ?? 0), 0));
  let [near, far] = [-Infinity, Infinity];
  for (let i = 2; i < flat.length; i += 3) [near, far] = [Math.max(near, read(flat, i)), Math.min(far, read(flat, i))];
  const layerOf = (/** @type {number} */ i) => Math.min(LAYERS - 1, Math.floor((LAYERS * (read(flat, i + 2) - far)) / (near - far || 1)));
  for (let n = 0; n < facing.length; n++) {
    const [a, b, c] = [3 * read(triangles, 3 * n), 3 * read(triangles, 3 * n + 1), 3 * read(triangles, 3 * n + 2)];
    const [ax, ay, bx, by, cx, cy] = [read(flat, a), read(flat, a + 1), read(flat, b), read(flat, b + 1), read(flat, c), read(flat, c + 1)];
    if ((bx - ax) * (cy - ay) - (cx - ax) * (by - ay) >= 0) continue; // y grows downward
    facing[n] = 1;
    const shine = [0, 1, 2].reduce((sum, k) => sum + (light[k] ?? 0) * read(normals, a + k), 0);
    const path = fills[layerOf(a) * TONES + Math.max(0, Math.min(TONES - 1, Math.floor(TONES * (0.5 - 0.55 * shine))))];
    path?.moveTo(ax, ay);
    path?.lineTo(bx, by);
    path?.lineTo(cx, cy);
    path?.closePath();
  }
  /** @type {[number, number][]} */
  const turning = [];
  for (let i = 0; i < edges.length; i += 4) {
    const [a, b, left, right] = [3 * read(edges, i), 3 * read(edges, i + 1), read(edges, i + 2), read(edges, i + 3)];
    if (facing[left] === facing[right]) continue;
    turning.push([a / 3, b / 3]);
    const path = outlines[Math.max(layerOf(a), layerOf(b))];
    path?.moveTo(read(flat, a), read(flat, a + 1));
    path?.lineTo(read(flat, b), read(flat, b + 1));
  }
  return { fills, outlines, turning };
}

/** @param {string} ink @param {string} paper as the browser computes them @param {number} part of ink */
function mixed(ink, paper, part) {
  const [a, b] = [ink, paper].map((text) => (text.match(/[\d.]+/g) ?? []).map(Number));
  return `rgb(${[0, 1, 2].map((i) => Math.round(part * (a?.[i] ?? 0) + (1 - part) * (b?.[i] ?? 0))).join(' ')})`;
}
