import { nextHalfEdge } from "./edges";

/** A surface in single precision, as it is drawn. */
interface DrawnSurface {
  /** x, y, z from the display's origin, mm; 3 × vertices. */
  readonly positions: Float32Array;
  /** 3 × triangles. */
  readonly triangles: Uint32Array;
  /** Opposite half-edges, −1 at the border; 3 × triangles. */
  readonly opposite: Int32Array;
}

/** A closed border shorter than this is that of a hole, mm. */
const SHORTEST_BORDER = 12;

/**
 * The border edges of a surface, without those of small holes: what hangs together at vertices and is at least 12 mm long
 * in all.
 * @returns line segments in the surface's own coordinates, six numbers each, in order of their half-edges
 */
export function borderLines({ positions, triangles, opposite }: DrawnSurface): Float32Array {
  const lengths = new Float64Array(positions.length / 3);
  const joined = joinedVertices(triangles, opposite, lengths.length);
  let edges = 0;
  for (let half = 0; half < opposite.length; half++) {
    if (opposite[half]! >= 0) continue;
    const from = triangles[half]!;
    lengths[joined[from]!]! += distanceBetween(positions, from, triangles[nextHalfEdge(half)]!);
    edges++;
  }
  const lines = new Float32Array(6 * edges);
  let end = 0;
  for (let half = 0; half < opposite.length; half++) {
    if (opposite[half]! >= 0) continue;
    const from = triangles[half]!;
    if (lengths[joined[from]!]! < SHORTEST_BORDER) continue;
    const to = triangles[nextHalfEdge(half)]!;
    for (let k = 0; k < 3; k++) {
      lines[end + k] = positions[3 * from + k]!;
      lines[end + 3 + k] = positions[3 * to + k]!;
    }
    end += 6;
  }
  return lines.slice(0, end);
}

/** For each vertex the lowest one that border edges lead to from it (union–find, Tarjan 1975). */
function joinedVertices(triangles: Uint32Array, opposite: Int32Array, vertices: number): Uint32Array {
  const joined = Uint32Array.from({ length: vertices }, (_, v) => v);
  const root = (vertex: number): number => {
    let at = vertex;
    while (joined[at] !== at) {
      joined[at] = joined[joined[at]!]!;
      at = joined[at]!;
    }
    return at;
  };
  for (let half = 0; half < opposite.length; half++) {
    if (opposite[half]! >= 0) continue;
    const [a, b] = [root(triangles[half]!), root(triangles[nextHalfEdge(half)]!)];
    joined[Math.max(a, b)] = Math.min(a, b);
  }
  for (let v = 0; v < vertices; v++) joined[v] = root(v);
  return joined;
}

function distanceBetween(p: Float32Array, a: number, b: number): number {
  const x = p[3 * b]! - p[3 * a]!;
  const y = p[3 * b + 1]! - p[3 * a + 1]!;
  const z = p[3 * b + 2]! - p[3 * a + 2]!;
  return Math.sqrt(x * x + y * y + z * z);
}
