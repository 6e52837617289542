// @ts-check
// A point of view on a character, without perspective: where a point of space lies on the sheet, and what a movement on
// the sheet means in space. Both drawings and the handles use this one. It draws nothing.

/** @typedef {import('./roomstate.js').Vec} Vec */
/** @typedef {{ least: Vec, greatest: Vec }} Box */

/** @param {Vec} a @param {Vec} b */
export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
/** @param {Vec} a @param {Vec} b @param {number} [s] @returns {Vec} a + s·b */
export const add = (a, b, s = 1) => [a[0] + s * b[0], a[1] + s * b[1], a[2] + s * b[2]];
/** A step of 1 cm along an axis of the world. @param {string} letter x, y or z @returns {Vec} */
export const unitAlong = (letter) => [Number(letter === 'x'), Number(letter === 'y'), Number(letter === 'z')];
/** @param {Vec} a */
export const length = (a) => Math.hypot(...a);

/** Points of view by name: the angle to the side and upward, in radians. @type {Record<string, [number, number]>} */
const NAMED = { front: [0, 0], side: [Math.PI / 2, 0], above: [0, Math.PI / 2] };
const STEP = Math.PI / 12;

export class Camera {
  yaw = 0.45;
  pitch = 0.28;
  /** @type {Vec} what stands in the middle of the sheet */
  target = [0, 0, 0];
  scale = 10; // px a cm
  width = 1;
  height = 1;
  #reach = 1;
  /** @type {[Vec, Vec, Vec]} to the right, upward and toward the reader */
  basis = [[1, 0, 0], [0, 1, 0], [0, 0, 1]];

  constructor() { this.turn(0, 0); }

  /** @param {number} yaw @param {number} pitch radians */
  turn(yaw, pitch) {
    this.yaw += yaw;
    this.pitch = Math.max(-Math.PI / 2, Math.min(Math.PI / 2, this.pitch + pitch));
    const [sy, cy, sp, cp] = [Math.sin(this.yaw), Math.cos(this.yaw), Math.sin(this.pitch), Math.cos(this.pitch)];
    this.basis = [[cy, 0, -sy], [-sy * sp, cp, -cy * sp], [sy * cp, sp, cy * cp]];
  }

  /** Brings the box into the sheet whole, with room for what a pose adds. @param {Box} box */
  frame({ least, greatest }) {
    const half = add(greatest, least, -1).map((x) => x / 2);
    this.target = add(least, /** @type {Vec} */ (half));
    this.#reach = Math.max(Math.hypot(...half), 1e-3);
    const [wide = 0, high = 0] = this.basis.map((axis) => axis.reduce((sum, x, i) => sum + Math.abs(x) * (half[i] ?? 0), 0.12 * this.#reach));
    this.scale = 0.44 * Math.min(this.width / wide, this.height / high);
  }

  /** How far in front of and behind the target anything may lie, cm. */
  get depth() { return 8 * this.#reach + length(this.target); }

  /** @param {number} factor @param {number} [x] @param {number} [y] the place on the sheet that stays */
  zoom(factor, x = this.width / 2, y = this.height / 2) {
    const fit = Math.min(this.width, this.height) / 2 / this.#reach;
    const scale = Math.max(fit / 4, Math.min(fit * 200, this.scale * factor));
    const held = 1 / this.scale - 1 / scale;
    this.target = this.#shifted((x - this.width / 2) * held, (y - this.height / 2) * held);
    this.scale = scale;
  }

  /** Moves the sheet with the hand. @param {number} dx @param {number} dy px */
  pan(dx, dy) { this.target = this.#shifted(-dx / this.scale, -dy / this.scale); }

  /** @param {number} x @param {number} y cm on the sheet, downward @returns {Vec} */
  #shifted(x, y) { return add(add(this.target, this.basis[0], x), this.basis[1], -y); }

  /** What a movement on the sheet is in space. @param {number} dx @param {number} dy px @returns {Vec} */
  space(dx, dy) { return add(add([0, 0, 0], this.basis[0], dx / this.scale), this.basis[1], -dy / this.scale); }

  /** @param {Vec} p @returns {Vec} px from the upper left corner, and toward the reader in cm */
  place(p) {
    const d = add(p, this.target, -1);
    return [this.width / 2 + this.scale * dot(d, this.basis[0]), this.height / 2 - this.scale * dot(d, this.basis[1]), dot(d, this.basis[2])];
  }

  /** @param {string} name of a button @param {Vec} pivot @param {Box} box */
  look(name, pivot, box) {
    const named = NAMED[name];
    if (named) this.turn(named[0] - this.yaw, named[1] - this.pitch);
    else if (name === 'left' || name === 'right') this.turn(name === 'left' ? STEP : -STEP, 0);
    else if (name === 'nearer' || name === 'farther') this.zoom(name === 'nearer' ? 1.4 : 1 / 1.4);
    else if (name === 'whole') this.frame(box);
    else if (name === 'pivot') {
      this.target = [...pivot];
      this.zoom(Math.max(1, (Math.min(this.width, this.height) / 2 / this.#reach) * 3 / this.scale));
    }
  }
}
