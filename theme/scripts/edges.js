// @ts-check
// Finds the edges of a surface with the triangles on both sides, so that an outline can be drawn, and joins those
// that are drawn. Points that lie on one another at rest count as one: files part them along seams.

/** A number of a typed array at a place that is known to exist. @param {Float32Array | Uint32Array} list @param {number} i */
export const read = (list, i) => /** @type {number} */ (list[i]);

/**
 * @param {Uint32Array} triangles
 * @param {Float32Array} rest
 * @returns {Uint32Array<ArrayBuffer>} four numbers an edge: two points and two triangles; an edge of one triangle has the count of triangles as the other
 */
export function edgesOf(triangles, rest) {
  /** @type {Map<string, number>} */
  const met = new Map();
  const same = new Uint32Array(rest.length / 3);
  for (let i = 0; i < same.length; i++) {
    const key = [0, 1, 2].map((k) => Math.round(read(rest, 3 * i + k) * 1e4)).join();
    same[i] = met.get(key) ?? i;
    if (same[i] === i) met.set(key, i);
  }
  /** @type {Map<number, number>} */
  const known = new Map();
  /** @type {number[]} */
  const edges = [];
  const none = triangles.length / 3;
  for (let i = 0; i < triangles.length; i++) {
    const next = i % 3 === 2 ? i - 2 : i + 1;
    const [a, b] = [read(same, read(triangles, i)), read(same, read(triangles, next))];
    const key = Math.min(a, b) * same.length + Math.max(a, b);
    const at = known.get(key);
    if (at !== undefined) edges[at + 3] = Math.floor(i / 3);
    else {
      known.set(key, edges.length);
      edges.push(a, b, Math.floor(i / 3), none);
    }
  }
  return Uint32Array.from(edges);
}

/**
 * Joins edges end to end, so that a dash can run along them.
 * @param {[number, number][]} pairs of points
 * @returns {number[][]} runs of points
 */
export function chained(pairs) {
  /** @type {Map<number, number[]>} places in pairs by point */
  const at = new Map();
  pairs.forEach((pair, i) => pair.forEach((p) => at.set(p, [...(at.get(p) ?? []), i])));
  const used = new Set();
  /** Walks on from a point as far as it goes. @param {number} from */
  const walk = (from) => {
    const run = [from];
    for (let p = from; ;) {
      const next = at.get(p)?.find((i) => !used.has(i));
      const pair = next === undefined ? undefined : pairs[next];
      if (!pair) return run;
      used.add(next);
      p = pair[0] === p ? pair[1] : pair[0];
      run.push(p);
    }
  };
  return pairs.flatMap(([a], i) => {
    if (used.has(i)) return [];
    const onward = walk(a);
    return [[...walk(a).reverse(), ...onward.slice(1)]];
  });
}
