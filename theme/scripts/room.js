// @ts-check
// The entry of the fitting room's page: finds its parts and wires them to the desk, where the state is kept. Without a
// browser that can do it, the page's own words stand.

import * as words from '../words/en.json';
import { clips } from './clips.js';
import { Desk } from './desk.js';
import { enable } from './enable.js';
import { hush } from './hush.js';
import { write } from './readout.js';
import { Gone, RoomEngine } from './roomengine.js';
import { fields } from './roomfields.js';
import { fetchCast, files } from './roomfiles.js';
import { fit } from './roomfit.js';
import { carryOut } from './roomout.js';
import { printMeasured } from './roomread.js';
import { said } from './roomsaid.js';
import { pivotOf, turning } from './roomstate.js';
import { tree } from './roomtree.js';
import { RoomView } from './roomview.js';
import { say } from './say.js';
import { undoKeys } from './undokeys.js';

/** What a file holds. @param {import('./roomstate.js').Scene} scene */
const about = ({ name, joints, vertices, triangles }) => say(words.roomAbout, {
  name,
  joints: say(words.roomJoints, { count: joints.length }),
  points: say(words.roomPoints, { count: vertices }),
  triangles: say(words.roomTriangles, { count: triangles }),
});

/** @param {HTMLElement} root a [data-room] @param {AbortSignal} signal */
function open(root, signal) {
  const { script = '', module = '', ink = '' } = root.dataset;
  const at = (/** @type {string} */ name) => /** @type {HTMLElement} */ (root.querySelector(`[data-${name}]`));
  const tell = (/** @type {string} */ text) => {
    write(at('notice'), text);
    at('notice').toggleAttribute('hidden', text === '');
  };
  const refuse = (/** @type {unknown} */ error) => desk.refuse(error);
  const hold = hush(at('say'), () => at('stage').hasAttribute('data-moving'));
  const engine = new RoomEngine(script, module, (slow) => at('slow').toggleAttribute('hidden', !slow));
  const desk = new Desk(engine, {
    begin(scene, triangles, rest, purpose) {
      root.dataset.state = 'on';
      tell('');
      write(at('about'), [about(scene), ...scene.notes.map(said)].join(' '));
      if (purpose) at('about').append(' ', Object.assign(document.createElement('span'), { lang: 'en', textContent: purpose }));
      form.fill(scene);
      joints.fill(scene.joints, turning(scene));
      proposals.fill(scene);
      view.begin(scene, triangles, rest);
    },
    targets(scene) {
      tell('');
      proposals.fill(scene);
    },
    state(scene, { state, undoable, redoable }) {
      root.toggleAttribute('data-waiting', true);
      hold(); // told once the hand rests
      form.show(scene, state);
      joints.show(state.joint, Object.keys(state.pivots).map(Number));
      enable([[root.querySelector('[data-do="undo"]'), undoable], [root.querySelector('[data-do="redo"]'), redoable]]);
      out.forget();
    },
    posed(surfaces, shown, measured, ms) {
      view.show(surfaces, shown);
      hold();
      if (measured) printMeasured(root, JSON.parse(measured));
      root.dataset.ms = ms.toFixed(1);
    },
    refused(error) {
      if (!desk.now) root.dataset.state = 'off';
      tell(error instanceof Gone ? (error.stopped ? words.roomStopped : words.roomFailed) : error.message);
    },
  });
  const view = new RoomView(at('stage'), { pivot: (by, gesture) => desk.move(by, gesture), rest() {
      hold();
      desk.rest();
    }, joint: (...sight) => void desk.chooseAt(...sight).catch(refuse) }, signal);
  const form = fields(root, desk, signal);
  const joints = tree(at('tree'), (joint) => desk.choose(joint), signal);
  const proposals = fit(root, desk, signal);
  const out = carryOut(root, desk, signal);
  clips(root, desk, signal);
  undoKeys(document, (which) => desk.go(which), signal);

  const room = {
    open: (/** @type {import('./roomfiles.js').Bundle} */ bundle) => {
      tell(say(words.roomReading, { name: bundle.names[0] ?? '' }));
      void drawn.then(() => desk.bring(bundle)).catch(refuse); // it would be drawn by nobody before
    },
    second: (/** @type {import('./roomfiles.js').Bundle} */ bundle) => void desk.second(bundle).catch(refuse),
    refuse: tell,
  };
  const drawn = view.open(ink);
  const bring = files(root, room, signal);
  window.addEventListener('beforeunload', (event) => { // a file of the reader's own cannot be brought back
    if (desk.now?.history.undoable) event.preventDefault();
  }, { signal });
  root.addEventListener('click', ({ target }) => {
    const button = target instanceof Element ? target.closest('button') : null;
    const { do: what = '', look } = button?.dataset ?? {};
    if (what === 'undo' || what === 'redo') desk.go(what);
    if (what === 'reset') desk.reset();
    if (what === 'stop') engine.stop();
    if (!look || !desk.now || !desk.state) return;
    view.camera.look(look, pivotOf(desk.now.scene, desk.state), view.box);
    view.wait();
  }, { signal });

  view.drawn = () => root.toggleAttribute('data-waiting', !desk.settled);
  void drawn.then((engraved) => at('plain').toggleAttribute('hidden', engraved));
  const first = /** @type {HTMLElement | null} */ (root.querySelector('[data-cast]'));
  if (first) bring(drawn.then(() => fetchCast(first)));
}

const root = /** @type {HTMLElement | null} */ (document.querySelector('[data-room]'));
if (root && typeof WebAssembly === 'object' && typeof Worker === 'function') open(root, new AbortController().signal);
