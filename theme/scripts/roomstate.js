// @ts-check
// What the fitting room is set to, as one value that is only ever replaced, with all earlier ones to go back to. It knows
// no page and no engine.

/** @typedef {[number, number, number]} Vec */
/**
 * @typedef {object} State
 * @property {number} joint
 * @property {string} axis "fold", "own:0" to "own:2" or "world:0" to "world:2"
 * @property {number} angle degrees
 * @property {number} clip -1: turned by hand
 * @property {number} time seconds into the clip
 * @property {Readonly<Record<number, Vec>>} pivots candidates by joint, cm
 * @property {boolean} trial
 * @property {boolean} smooth
 * @property {number} passes
 * @property {'over' | 'beside'} sides
 * @property {'plane' | 'x' | 'y' | 'z'} drag
 * @property {'cm' | 'mm' | 'in'} unit
 */
/** What the engine is asked, see Ask in calc/room. @typedef {{ joint: number, axis: Vec, angle: number, clip: number, time: number, pivot: Vec, candidate: boolean, trial: boolean, passes: number, point: number }} Ask */
/** @typedef {{ id: number, name: string, parent: number, at: Vec, length: number, vertices: number, frame: number[], fold: Vec }} Joint */
/** @typedef {{ name: string, vertices: number, triangles: number, height: number, least: Vec, greatest: Vec, notes: string[], joints: Joint[], clips: { id: number, name: string, seconds: number }[], targets: { id: string, name: string, kind: string }[] }} Scene */

/** Steps that are kept. */
const MOST = 500;

/** The joints that take a part of the surface with them: it hangs on them, or on one below. @param {Scene} scene */
export function turning({ joints }) {
  const carried = new Set();
  for (const { id, vertices } of joints) {
    for (let at = vertices > 0 ? id : -1; at >= 0 && !carried.has(at); at = joints[at]?.parent ?? -1) carried.add(at);
  }
  return carried;
}

/** @param {Scene} scene @param {string} [name] of the joint to begin with @returns {State} */
export function firstState(scene, name) {
  const carried = turning(scene);
  const turns = scene.joints.filter(({ id }) => carried.has(id));
  const bends = turns.filter(({ parent }) => parent >= 0);
  const joint = scene.joints.find((one) => one.name === name) ?? bends[Math.floor((bends.length - 1) / 2)] ?? turns[0] ?? scene.joints[0];
  return { joint: joint?.id ?? 0, axis: 'fold', angle: 60, clip: -1, time: 0, pivots: {}, trial: false, smooth: false, passes: 10, sides: 'over', drag: 'plane', unit: 'cm' };
}

/** @param {Scene} scene @param {State} state */
export const jointOf = (scene, state) => /** @type {Joint} */ (scene.joints[state.joint] ?? scene.joints[0]);

/** Where the candidate stands; on the current pivot when there is none. @param {Scene} scene @param {State} state @returns {Vec} */
export const pivotOf = (scene, state) => state.pivots[state.joint] ?? jointOf(scene, state).at;

/** The turning axis in the world at rest. @param {Scene} scene @param {State} state @returns {Vec} */
export function axisOf(scene, state) {
  const { fold, frame } = jointOf(scene, state);
  const [kind, number] = state.axis.split(':');
  const i = Number(number);
  if (kind === 'own') return /** @type {Vec} */ (frame.slice(3 * i, 3 * i + 3));
  return kind === 'world' ? /** @type {Vec} */ ([0, 1, 2].map((j) => Number(j === i))) : fold;
}

/** The direction of the joint's segment at rest. @param {Scene} scene @param {State} state @returns {Vec} */
export function segmentOf(scene, state) {
  const joint = jointOf(scene, state);
  const child = scene.joints.find(({ parent }) => parent === joint.id);
  const [from, to] = child ? [joint.at, child.at] : [scene.joints[joint.parent]?.at ?? joint.at, joint.at];
  const d = to.map((x, i) => x - (from[i] ?? 0));
  const long = Math.hypot(...d);
  return /** @type {Vec} */ (long > 1e-9 ? d.map((x) => x / long) : [0, 1, 0]);
}

/** @param {Scene} scene @param {State} state @returns {Ask} */
export function askOf(scene, state) {
  return {
    joint: state.joint, axis: axisOf(scene, state), angle: state.clip < 0 ? state.angle : 0, clip: state.clip, time: state.time,
    pivot: pivotOf(scene, state), candidate: state.pivots[state.joint] !== undefined, trial: state.trial, passes: state.smooth ? state.passes : 0, point: -1,
  };
}

export class History {
  /** @type {State[]} */
  #past = [];
  /** @type {State[]} */
  #future = [];
  #gesture = '';

  /** @param {State} state */
  constructor(state) { this.state = state; }

  get undoable() { return this.#past.length > 0; }

  get redoable() { return this.#future.length > 0; }

  /**
   * @param {Partial<State>} part
   * @param {string} gesture changes of one gesture are one step; empty: a step by itself
   */
  change(part, gesture = '') {
    if (gesture === '' || gesture !== this.#gesture) this.#past = [...this.#past.slice(1 - MOST), this.state];
    this.#gesture = gesture;
    this.#future = [];
    this.state = { ...this.state, ...part };
  }

  /** The gesture has ended: the next one is a step of its own, even if it is of the same kind. */
  rest() { this.#gesture = ''; }

  undo() { this.#go(this.#past, this.#future); }

  redo() { this.#go(this.#future, this.#past); }

  /** @param {State[]} from @param {State[]} to */
  #go(from, to) {
    const state = from.pop();
    if (!state) return;
    to.push(this.state);
    this.#gesture = '';
    this.state = state;
  }
}
