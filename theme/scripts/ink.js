// @ts-check
// Draws the posed surfaces in WebGL 2, as an engraving. It is the only script that knows the library three, and its
// address is on the fitting room's page alone. Cameras, handles and measures are none of its business.

import {
  AlwaysStencilFunc, BackSide, BufferAttribute, BufferGeometry, Camera as ThreeCamera, DoubleSide, DynamicDrawUsage, GLSL3, KeepStencilOp,
  Matrix3, Mesh, NotEqualStencilFunc, RawShaderMaterial, ReplaceStencilOp, Scene, Vector2, Vector3, WebGLRenderer,
} from 'three';
import { shaders } from './inkshaders.js';

/** @typedef {import('./roomview.js').Sheet} Sheet */
/** @typedef {import('./roomview.js').Surfaces} Surfaces */

/** What every pose fills: positions and normals of both placements. */
const filled = ['currentAt', 'currentNormal', 'candidateAt', 'candidateNormal'];

/** Numbers of an sRGB colour as the browser computes it. @param {string} text @returns {Vector3} */
const colourOf = (text) => new Vector3(...(text.match(/[\d.]+/g) ?? ['0', '0', '0']).slice(0, 3).map((n) => Number(n) / 255));

/**
 * @param {HTMLCanvasElement} canvas
 * @returns {import('./roomview.js').Drawing | null} null where WebGL 2 cannot be had
 */
export function drawing(canvas) {
  const context = canvas.getContext('webgl2', { alpha: true, antialias: true, stencil: true, preserveDrawingBuffer: true });
  if (!context) return null;
  const renderer = new WebGLRenderer({ canvas, context });
  renderer.autoClear = false;
  renderer.setClearAlpha(0);
  const shared = {
    basis: { value: new Matrix3() }, target: { value: new Vector3() }, sheet: { value: new Vector2() }, scale: { value: 1 }, depth: { value: 1 },
    ink: { value: new Vector3() }, paper: { value: new Vector3() }, along: { value: new Vector3(1, 0, 0) }, step1: { value: 1 }, dash: { value: 7 },
  };
  const tints = { current: { value: new Vector3() }, candidate: { value: new Vector3() } };
  const geometry = new BufferGeometry();
  /** @type {Mesh[]} */
  const layers = [];
  /** @param {string} fragmentShader @param {number} side 0 current, 1 candidate @param {number} grow px @param {{ value: Vector3 }} tint @param {object} more */
  const layer = (fragmentShader, side, grow, tint, more) => {
    const uniforms = { ...shared, side: { value: side }, grow: { value: grow }, tint };
    const mesh = new Mesh(geometry, new RawShaderMaterial({ glslVersion: GLSL3, vertexShader: shaders.given, fragmentShader, uniforms, ...more }));
    mesh.frustumCulled = false;
    mesh.renderOrder = layers.push(mesh);
    return mesh;
  };
  const inked = (/** @type {number} */ side, /** @type {{ value: Vector3 }} */ tint) => [
    layer(shaders.outline, side, 1.6, tint, { side: BackSide }), layer(shaders.body, side, 0, tint, { side: DoubleSide })];
  const stencil = { stencilWrite: true, stencilRef: 1, depthTest: false, depthWrite: false };
  const bodies = [inked(0, tints.current), inked(1, tints.candidate)];
  const ghosts = [
    layer(shaders.outline, 0, 0, tints.current, { ...stencil, side: DoubleSide, colorWrite: false, stencilFunc: AlwaysStencilFunc, stencilZPass: ReplaceStencilOp }),
    layer(shaders.ghost, 0, 2.2, tints.current, { ...stencil, side: DoubleSide, stencilFunc: NotEqualStencilFunc, stencilZPass: KeepStencilOp }),
  ];
  const scene = new Scene();
  scene.add(...layers);
  const camera = new ThreeCamera();

  return {
    /** @param {Uint32Array} triangles @param {Float32Array} rest */
    begin(triangles, rest) {
      geometry.dispose();
      geometry.setIndex(new BufferAttribute(triangles, 1));
      geometry.setAttribute('restAt', new BufferAttribute(rest, 3));
      for (const name of filled) {
        geometry.setAttribute(name, new BufferAttribute(new Float32Array(rest.length), 3).setUsage(DynamicDrawUsage));
      }
    },
    /** @param {Surfaces} surfaces */
    pose({ current, candidate }) {
      const values = [...current, ...candidate];
      filled.forEach((name, i) => {
        const attribute = /** @type {BufferAttribute} */ (geometry.getAttribute(name));
        const value = values[i] ?? attribute.array;
        if (value === attribute.array) return; // it is there already
        attribute.array = value;
        attribute.needsUpdate = true;
      });
    },
    /** @param {Record<'ink' | 'paper' | 'current' | 'candidate', string>} colours */
    tint(colours) {
      shared.ink.value.copy(colourOf(colours.ink));
      shared.paper.value.copy(colourOf(colours.paper));
      tints.current.value.copy(colourOf(colours.current));
      tints.candidate.value.copy(colourOf(colours.candidate));
    },
    /** @param {Sheet} sheet */
    draw({ view, beside, moved, along, ratio }) {
      const { width, height, scale, basis: [r, u, t] } = view;
      renderer.setPixelRatio(ratio);
      renderer.setSize(beside ? 2 * width : width, height, false);
      shared.basis.value.set(r[0], r[1], r[2], u[0], u[1], u[2], t[0], t[1], t[2]);
      shared.target.value.set(...view.target);
      shared.along.value.set(...along);
      shared.sheet.value.set(width, height);
      [shared.scale.value, shared.depth.value, shared.dash.value] = [scale, view.depth, 7 * ratio];
      shared.step1.value = 2 ** Math.round(Math.log2(6 / scale));
      renderer.setScissorTest(false);
      renderer.clear();
      renderer.setScissorTest(true);
      for (const half of beside ? [0, 1] : [1]) {
        renderer.setViewport(beside ? half * width : 0, 0, width, height);
        renderer.setScissor(beside ? half * width : 0, 0, width, height);
        bodies.forEach((pair, side) => pair.forEach((mesh) => { mesh.visible = side === (moved ? half : 1); }));
        for (const mesh of ghosts) mesh.visible = moved && !beside;
        renderer.render(scene, camera);
      }
    },
    end() {
      renderer.dispose();
      geometry.dispose();
    },
  };
}

