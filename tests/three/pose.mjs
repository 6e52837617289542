// Reads a .glb with three.js, plays its clips at given times, and prints where every vertex of every part then stands in
// the world. Standard input: {"glb": base64, "moments": [{"clip": index or -1, "time": seconds}]}. Standard output: JSON, a
// list a moment of {"node", "primitive", "positions": [x, y, z, …]}. No drawing is done, so no browser is needed.
// The argument is the folder of the package.
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';

globalThis.self ??= globalThis;
const from = (name) => import(pathToFileURL(resolve(join(process.argv[2], name))).href);
const { AnimationMixer, Vector3 } = await from('build/three.module.js');
const { GLTFLoader } = await from('examples/jsm/loaders/GLTFLoader.js');

let text = '';
for await (const part of process.stdin) text += part;
const ask = JSON.parse(text);
const bytes = Buffer.from(ask.glb, 'base64');
const gltf = await new GLTFLoader().parseAsync(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length), '');
const place = (object) => {
  const own = gltf.parser.associations.get(object) ?? {};
  const above = gltf.parser.associations.get(object.parent) ?? {};
  return { node: own.nodes ?? above.nodes, primitive: own.primitives ?? 0 };
};

const mixer = new AnimationMixer(gltf.scene);
const answers = ask.moments.map(({ clip, time }) => {
  mixer.stopAllAction();
  if (clip >= 0) {
    mixer.clipAction(gltf.animations[clip]).play();
    mixer.setTime(time);
  }
  gltf.scene.updateMatrixWorld(true);
  const parts = [];
  gltf.scene.traverse((object) => {
    if (!object.isMesh) return;
    const positions = [];
    const v = new Vector3();
    for (let i = 0; i < object.geometry.attributes.position.count; i++) {
      object.getVertexPosition(i, v);
      v.applyMatrix4(object.matrixWorld);
      positions.push(v.x, v.y, v.z);
    }
    parts.push({ ...place(object), positions });
  });
  return parts;
});
process.stdout.write(JSON.stringify(answers));
