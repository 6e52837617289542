// @ts-check
// Runs beside the fitting room's page: owns the engine of that room, so that no file, however broken or large, holds the
// page up. It carries orders in and typed arrays out and knows nothing of what they mean.

import { compile, startEngine } from './engine.js';
import { hearing } from './heard.js';

/** @typedef {import('./roomstate.js').Ask} Ask */
/** The functions of wasm/room; each answers, or returns an Error. @typedef {Record<string, (...args: any[]) => any>} Api */
/**
 * One posed drawing. Surfaces are float32 xyz a vertex; a current one that is the candidate, or has been sent, is null.
 * @typedef {{ current: [positions: ArrayBuffer, normals: ArrayBuffer] | null, candidate: [ArrayBuffer, ArrayBuffer], joints: [current: ArrayBuffer, candidate: ArrayBuffer], carried: number[], measured: string, spent: ArrayBuffer[], ms: number }} Frame
 */
/** @typedef {{ id: number, name: string, args: unknown[] }} Order */
/** @typedef {{ id: number, answer?: unknown, error?: string }} Report */

/** @type {Promise<Api | null>} */
let loading = Promise.resolve(null);

/** Says the texts of the map of the fit in the language of the page. @type {(text: string) => string} */
let words;

/** What the engine refuses, in words for the reader; anything else that is thrown says that there is no engine. */
class Refusal extends Error {}

/** Does what a function of the engine does, and throws what it refuses. @param {Api} api @param {string} name @param {unknown[]} args */
function ask(api, name, args) {
  const answer = api[name]?.(...args);
  if (answer instanceof Error) throw new Refusal(answer.message);
  return answer;
}

/**
 * Poses and gathers; spent arrays of an earlier drawing are filled again. A current surface that the page has is not sent again.
 * @param {Api} api @param {Ask} question @param {number} bytes of one array @param {boolean} whole whether the page has no current surface yet
 * @param {boolean} measure @param {ArrayBuffer[]} spent
 * @returns {Frame}
 */
function frame(api, question, bytes, whole, measure, spent) {
  const began = performance.now();
  ask(api, 'pose', [question]);
  const surface = (/** @type {boolean} */ candidate, /** @type {boolean} */ anyway) => {
    const arrays = [0, 1].map(() => spent.pop() ?? new ArrayBuffer(bytes));
    const written = ask(api, 'surface', [candidate, anyway, ...arrays.map((array) => new Uint8Array(array))]);
    if (!written) spent.push(...arrays);
    return written ? /** @type {[ArrayBuffer, ArrayBuffer]} */ (arrays) : null;
  };
  const candidate = /** @type {[ArrayBuffer, ArrayBuffer]} */ (surface(question.candidate, true));
  const current = question.candidate ? surface(false, whole) : null;
  const now = ask(api, 'joints', [false]);
  const joints = /** @type {[ArrayBuffer, ArrayBuffer]} */ ([now.buffer, question.candidate ? ask(api, 'joints', [true]).buffer : now.slice().buffer]);
  return { current, candidate, joints, carried: ask(api, 'carried', []), measured: measure ? ask(api, 'measure', []) : '', spent, ms: performance.now() - began };
}

/** @param {unknown} answer @returns {ArrayBuffer[]} */
function handedOver(answer) {
  if (answer instanceof Uint8Array) return [/** @type {ArrayBuffer} */ (answer.buffer)];
  if (Array.isArray(answer)) return answer.flatMap(handedOver);
  if (answer instanceof ArrayBuffer) return [answer];
  return answer && typeof answer === 'object' ? Object.values(answer).flatMap(handedOver) : [];
}

self.addEventListener('message', async (/** @type {MessageEvent<Order>} */ { data: { id, name, args } }) => {
  const tell = (/** @type {Report} */ report) => self.postMessage(report, { transfer: handedOver(report.answer) });
  try {
    if (name === 'load') {
      words = hearing(/** @type {Record<string, string>} */ (args[1]));
      loading = /** @type {Promise<any>} */ (startEngine(compile(String(args[0]))).catch(() => null)); // told in the next line
    }
    const api = await loading;
    if (!api) throw new Error('no engine');
    if (name === 'load') tell({ id, answer: true });
    else if (name === 'frame') tell({ id, answer: frame(api, .../** @type {[Ask, number, boolean, boolean, ArrayBuffer[]]} */ (args)) });
    else tell({ id, answer: ask(api, name === 'export' ? 'exportAs' : name, name === 'map' ? [...args, words] : args) });
  } catch (error) {
    tell({ id, error: error instanceof Refusal ? error.message : '' });
  }
});
