// @ts-check
// The fitting room's state at work: each new value of it is posed by the engine, and what comes back is shown, the newest
// only. Files come in here. It knows no markup.

import { add } from './camera.js';
import { Arrays, floats } from './roomarrays.js';
import { Gone } from './roomengine.js';
import { askOf, firstState, History, pivotOf } from './roomstate.js';

/** @typedef {import('./roomstate.js').State} State */
/** @typedef {import('./roomstate.js').Scene} Scene */
/** @typedef {import('./roomstate.js').Vec} Vec */
/** @typedef {import('./roomview.js').Surfaces} Surfaces */
/** @typedef {import('./roomfiles.js').Bundle} Bundle */
/**
 * @typedef {object} Shows
 * @property {(scene: Scene, triangles: Uint32Array<ArrayBuffer>, rest: Float32Array<ArrayBuffer>, purpose: string) => void} begin a file was opened
 * @property {(scene: Scene) => void} targets a second file was added
 * @property {(scene: Scene, history: History) => void} state at once
 * @property {(surfaces: Surfaces, shown: import('./roomview.js').Shown, measured: string, ms: number) => void} posed as soon as it is; measured is empty while a hand moves a large surface
 * @property {(error: Error) => void} refused the state stays; when the engine is gone, the file is too
 */

/** Vertices up to which read-outs follow the hand; beyond it they come when it rests, or the drawing would lag. */
const MEASURED = 20_000;

export class Desk {
  /** @type {{ scene: Scene, history: History, first: State, bytes: number } | null} */
  now = null;
  #arrays = new Arrays();
  /** @type {number[]} how the pivot's place is turned from rest to the pose, row by row */
  #carried = [1, 0, 0, 0, 1, 0, 0, 0, 1];
  #unmeasured = false;
  #opening = 0; // files on their way in
  #behind = 0; // changes asked for that are not shown yet
  #engine;
  #shows;

  /** @param {import('./roomengine.js').RoomEngine} engine @param {Shows} shows */
  constructor(engine, shows) {
    this.#engine = engine;
    this.#shows = shows;
    this.call = engine.call.bind(engine);
  }

  /** Whether what is shown is the state. */
  get settled() { return this.#behind === 0; }
  get state() { return this.now?.history.state ?? null; }
  /** What the engine is asked for the state. */
  get ask() { return this.now && askOf(this.now.scene, this.now.history.state); }

  /** @param {Partial<State>} part @param {string} [gesture] */
  change(part, gesture) {
    this.now?.history.change(part, gesture);
    void this.#update(Boolean(gesture));
  }

  /** The hand rests: the next change is a step of its own, and what was too much on the way is measured. */
  rest() {
    this.now?.history.rest();
    if (this.#unmeasured) void this.#update();
  }

  /** @param {'undo' | 'redo'} which */
  go(which) {
    this.now?.history[which]();
    void this.#update();
  }

  reset() { this.change(this.now?.first ?? {}); }

  /** @param {number} joint */
  choose(joint) { if (joint !== this.state?.joint) this.change({ joint }); }

  /** Chooses the joint that the surface hangs on where a line of sight meets it. @param {Vec} from @param {Vec} along @param {boolean} candidate */
  async chooseAt(from, along, candidate) {
    if (!this.now) return;
    const { hit, joint } = JSON.parse(await this.#engine.call('pick', from, along, candidate && Boolean(this.ask?.candidate)));
    if (hit) this.choose(joint);
  }

  /** Puts the candidate of a joint. @param {Vec} pivot at rest, cm @param {string} [gesture] @param {number} [joint] else the chosen one */
  place(pivot, gesture, joint = this.state?.joint ?? 0) {
    if (this.state) this.change({ pivots: { ...this.state.pivots, [joint]: pivot } }, gesture);
  }

  /** Moves the candidate in the pose. @param {Vec} by cm @param {string} gesture */
  move(by, gesture) {
    const m = this.#carried;
    const back = /** @type {Vec} */ ([0, 1, 2].map((i) => by.reduce((sum, x, k) => sum + (m[3 * i + k] ?? 0) * x, 0)));
    if (this.now) this.place(add(pivotOf(this.now.scene, this.now.history.state), back), gesture);
  }

  /** Opens a character; the one that was open stays when it is refused. @param {Bundle} bundle */
  async bring({ names, datas, joint, purpose = '' }) {
    this.#opening++; // until it stands, nothing is asked of it that was meant for the one before
    try {
      await this.call('open', names, datas);
      /** @type {Scene} */
      const scene = JSON.parse(await this.call('describe'));
      const triangles = await this.call('triangles');
      const first = firstState(scene, joint);
      const bytes = 12 * scene.vertices; // of one array
      const posed = await this.call('frame', { ...askOf(scene, first), angle: 0 }, bytes, true, false, []);
      this.#arrays = new Arrays();
      this.now = { scene, history: new History(first), first, bytes };
      this.#shows.begin(scene, new Uint32Array(triangles.buffer), new Float32Array(posed.candidate[0]), purpose);
    } catch (error) {
      if (error instanceof Gone) this.now = null;
      throw error;
    } finally {
      this.#opening--;
      await this.#update();
    }
  }

  /** Adds a second file of the same surface as a target. @param {Bundle} bundle */
  async second({ names, datas }) {
    await this.#engine.call('addTarget', names, datas);
    const scene = JSON.parse(await this.call('describe'));
    if (this.now) this.now = { ...this.now, scene };
    this.#shows.targets(scene);
  }

  /** @param {boolean} [moving] in a gesture that goes on */
  async #update(moving = false) {
    if (!this.now || this.#opening > 0) return;
    const { scene, history, history: { state }, bytes } = this.now;
    this.#behind++;
    this.#shows.state(scene, history);
    try {
      const measure = !moving || scene.vertices <= MEASURED;
      this.#unmeasured = !measure;
      const question = askOf(scene, state);
      const frame = await this.#engine.frame(this.#arrays.spent, question, bytes, this.#arrays.shown === null, measure);
      if (!frame || this.#opening > 0 || this.now?.history !== history) return;
      this.#carried = frame.carried;
      this.#shows.posed(this.#arrays.take(frame, question.candidate), { scene, state, joints: floats(frame.joints) }, frame.measured, frame.ms);
    } catch (error) {
      this.refuse(error);
    } finally { this.#behind--; }
  }

  /** @param {unknown} error */
  refuse(error) {
    if (error instanceof Gone) this.now = null;
    this.#shows.refused(error instanceof Error ? error : new Error(String(error)));
  }
}
