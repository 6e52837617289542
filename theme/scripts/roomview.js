// @ts-check
// The drawing of the fitting room: one point of view, the surfaces beneath, the handles and lines above. It chooses
// between the two ways of drawing and draws at most once a frame. What a movement means is told to its owner.

import { add, Camera } from './camera.js';
import { grips } from './grips.js';
import { marks } from './marks.js';
import { segmentOf } from './roomstate.js';

/** @typedef {import('./roomstate.js').Vec} Vec */
/** Positions and normals, xyz a vertex. @typedef {{ current: [Float32Array, Float32Array], candidate: [Float32Array, Float32Array] }} Surfaces */
/** @typedef {{ view: Camera, beside: boolean, moved: boolean, along: Vec, ratio: number }} Sheet */
/**
 * @typedef {object} Drawing
 * @property {(triangles: Uint32Array<ArrayBuffer>, rest: Float32Array<ArrayBuffer>) => void} begin
 * @property {(surfaces: Surfaces) => void} pose
 * @property {(colours: Record<'ink' | 'paper' | 'current' | 'candidate', string>) => void} tint
 * @property {(sheet: Sheet) => void} draw
 * @property {() => void} end
 */
/** What is shown besides the surfaces. @typedef {{ scene: import('./roomstate.js').Scene, state: import('./roomstate.js').State, joints: [Float32Array, Float32Array] }} Shown */
/** @typedef {{ pivot: (by: Vec, gesture: string) => void, rest: () => void, joint: (from: Vec, along: Vec, candidate: boolean) => void }} Owner */

export class RoomView {
  camera = new Camera();
  /** @type {Drawing | null} */
  #drawing = null;
  /** @type {Shown | null} */
  shown = null;
  /** @type {Surfaces | null} */
  #surfaces = null;
  #box = { least: /** @type {Vec} */ ([0, 0, 0]), greatest: /** @type {Vec} */ ([0, 0, 0]) };
  #frame = 0;
  #stage;
  /** Told when a frame was drawn. */
  drawn = () => {};

  /** @param {HTMLElement} stage a [data-stage] @param {Owner} owner @param {AbortSignal} signal */
  constructor(stage, owner, signal) {
    this.#stage = stage;
    new ResizeObserver(() => this.#measure()).observe(stage);
    grips(stage, this, owner, signal);
    new MutationObserver(() => this.#tint()).observe(document.documentElement, { attributeFilter: ['data-theme'] }); // a reader's own choice
    for (const query of ['(prefers-color-scheme: dark)', '(prefers-contrast: more)', '(forced-colors: active)']) matchMedia(query).addEventListener('change', () => this.#tint(), { signal });
    for (const kind of ['beforeprint', 'afterprint']) {
      window.addEventListener(kind, () => {
        stage.toggleAttribute('data-printed', kind === 'beforeprint');
        this.#tint();
        this.#draw();
      }, { signal });
    }
  }

  /** @param {string} address of the drawing in WebGL; empty: none was built @returns {Promise<boolean>} whether it serves */
  async open(address) {
    const canvas = () => /** @type {HTMLCanvasElement} */ (this.#stage.querySelector('[data-surface]'));
    const ink = address && /** @type {typeof import('./ink.js') | null} */ (await import(address).catch(() => null)); // drawn plainly then
    this.#drawing = ink ? ink.drawing(canvas()) : null;
    const engraved = this.#drawing !== null;
    if (!engraved) this.#drawing = (await import('./plain.js')).drawing(canvas());
    this.#stage.dataset.drawing = engraved ? 'ink' : 'plain';
    canvas().addEventListener('webglcontextrestored', () => this.wait());
    return engraved;
  }

  /** @param {import('./roomstate.js').Scene} scene @param {Uint32Array<ArrayBuffer>} triangles @param {Float32Array<ArrayBuffer>} rest */
  begin(scene, triangles, rest) {
    this.#drawing?.begin(triangles, rest);
    this.#tint();
    this.#measure();
    [this.#box, this.#surfaces] = [{ least: scene.least, greatest: scene.greatest }, null];
  }

  /** The rest and the pose that is shown. */
  get box() {
    const least = /** @type {Vec} */ ([...this.#box.least]);
    const greatest = /** @type {Vec} */ ([...this.#box.greatest]);
    this.#surfaces?.candidate[0].forEach((x, i) => {
      const k = /** @type {0 | 1 | 2} */ (i % 3);
      least[k] = Math.min(least[k], x);
      greatest[k] = Math.max(greatest[k], x);
    });
    return { least, greatest };
  }

  /** @param {Surfaces} surfaces @param {Shown} shown */
  show(surfaces, shown) {
    const first = this.#surfaces === null;
    [this.#surfaces, this.shown] = [surfaces, shown];
    if (first) this.camera.frame(this.box);
    if (this.#beside !== this.#stage.hasAttribute('data-beside')) this.#measure();
    this.#drawing?.pose(surfaces);
    this.wait();
  }

  /** Draws with the next frame. */
  wait() {
    this.#frame ||= requestAnimationFrame(() => {
      this.#frame = 0;
      this.#draw();
    });
  }

  get #beside() { return this.shown?.state.sides === 'beside'; }

  /** Where on its own half of the sheet a place of the stage lies. @param {number} x @param {number} y @returns {[number, number]} */
  local(x, y) { return [this.#beside && x > this.camera.width ? x - this.camera.width : x, y]; }

  /** The line of sight through a place of the stage, and which surface is looked at. @param {number} x @param {number} y px @returns {[from: Vec, along: Vec, candidate: boolean]} */
  sight(x, y) {
    const { target, basis, depth, width, height } = this.camera;
    const [u, v] = this.local(x, y);
    const from = add(add(target, this.camera.space(u - width / 2, v - height / 2)), basis[2], depth);
    return [from, add([0, 0, 0], basis[2], -1), !this.#beside || x > width];
  }

  #measure() {
    const { clientWidth, clientHeight } = this.#stage;
    if (clientWidth === 0) return;
    this.#stage.toggleAttribute('data-beside', this.#beside);
    const before = Math.min(this.camera.width, this.camera.height);
    this.camera.width = clientWidth / (this.#beside ? 2 : 1);
    this.camera.height = clientHeight;
    this.camera.scale *= Math.min(this.camera.width, this.camera.height) / before;
    this.wait();
  }

  #tint() {
    const token = (/** @type {string} */ name) => {
      const probe = this.#stage.appendChild(document.createElement('span'));
      probe.className = `room-token-${name}`;
      const { color } = getComputedStyle(probe);
      probe.remove();
      return color;
    };
    this.#drawing?.tint({ ink: token('ink'), paper: token('paper'), current: token('current'), candidate: token('candidate') });
    this.wait();
  }

  #draw() {
    const { shown, camera: view } = this;
    if (!shown || !this.#surfaces) return;
    const { scene, state } = shown;
    const moved = state.pivots[state.joint] !== undefined;
    this.#drawing?.draw({ view, beside: this.#beside, moved, along: segmentOf(scene, state), ratio: Math.min(2, devicePixelRatio) });
    marks(this.#stage, view, shown, this.#beside);
    this.drawn();
  }
}
