import type { DisplayMesh } from "#core/jobs/job-list";

/** Chains of outline shorter than this are noise of the surface, mm. */
const SHORTEST_CHAIN = 4;

/**
 * The outlines of a surface seen along one direction: where the (smoothed) normals turn away from the eye, found by
 * linear interpolation on each triangle (Hertzmann & Zorin 2000), and the borders of the scan.
 */
export class Outlines {
  readonly #mesh: DisplayMesh;
  readonly #facing: Float32Array;
  /** Edge (higher half-edge) → number of a segment there in this run, plus 1; 0 for none. */
  readonly #segmentAt: Int32Array;

  constructor(mesh: DisplayMesh) {
    this.#mesh = mesh;
    this.#facing = new Float32Array(mesh.positions.length / 3);
    // Memory that begins as zeros costs nothing before it is written on.
    this.#segmentAt = new Int32Array(mesh.triangles.length);
  }

  /**
   * Line segments in display coordinates, six numbers each.
   * @param towardsEye in display coordinates; any length
   */
  seenFrom(towardsEye: readonly [number, number, number]): Float32Array {
    const { positions, triangles, opposite, calm } = this.#mesh;
    const facing = this.#facing;
    const [x, y, z] = towardsEye;
    for (let v = 0, k = 0; v < facing.length; v++, k += 3)
      facing[v] = calm[k]! * x + calm[k + 1]! * y + calm[k + 2]! * z;

    const segments: number[] = [];
    const edges: number[] = [];
    const crossing = (half: number, from: number, to: number) => {
      const f = facing[from]!;
      const share = f / (f - facing[to]!);
      for (let k = 0; k < 3; k++) {
        const start = positions[from * 3 + k]!;
        segments.push(start + share * (positions[to * 3 + k]! - start));
      }
      edges.push(Math.max(half, opposite[half]!));
    };
    for (let i = 0; i < triangles.length; i += 3) {
      const [a, b, c] = [triangles[i]!, triangles[i + 1]!, triangles[i + 2]!];
      const [sa, sb, sc] = [facing[a]! > 0, facing[b]! > 0, facing[c]! > 0];
      if (sa === sb && sb === sc) continue;
      if (sa !== sb) crossing(i, a, b);
      if (sb !== sc) crossing(i + 1, b, c);
      if (sc !== sa) crossing(i + 2, c, a);
    }
    return this.#withoutShortChains(segments, edges);
  }

  /** Joins the segments to chains over the edges they share, and keeps the long ones. */
  #withoutShortChains(segments: readonly number[], edges: readonly number[]): Float32Array {
    const count = edges.length / 2;
    const parent = Int32Array.from({ length: count }, (_, i) => i);
    const root = (i: number): number => {
      let at = i;
      while (parent[at] !== at) {
        parent[at] = parent[parent[at]!]!;
        at = parent[at]!;
      }
      return at;
    };
    for (let s = 0; s < count; s++) {
      for (const edge of [edges[s * 2]!, edges[s * 2 + 1]!]) {
        const other = this.#segmentAt[edge]! - 1;
        if (other < 0) this.#segmentAt[edge] = s + 1;
        else parent[root(s)] = root(other);
      }
    }
    const lengths = new Float32Array(count);
    for (let s = 0; s < count; s++) lengths[root(s)]! += segmentLength(segments, s * 6);
    // The border never changes: its segments stand first.
    const { border } = this.#mesh;
    const kept = new Float32Array(border.length + segments.length);
    kept.set(border);
    let end = border.length;
    for (let s = 0; s < count; s++) {
      if (lengths[root(s)]! < SHORTEST_CHAIN) continue;
      for (let k = 0; k < 6; k++) kept[end++] = segments[s * 6 + k]!;
    }
    for (const edge of edges) this.#segmentAt[edge] = 0;
    return kept.subarray(0, end);
  }
}

function segmentLength(at: readonly number[], k: number): number {
  const x = at[k + 3]! - at[k]!;
  const y = at[k + 4]! - at[k + 1]!;
  const z = at[k + 5]! - at[k + 2]!;
  return Math.sqrt(x * x + y * y + z * z);
}
