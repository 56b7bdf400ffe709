/** A surface in single precision, as it is drawn. */
interface DrawnSurface {
  /** x, y, z from the display's origin, mm; 3 × vertices. */
  readonly positions: Float32Array;
  /** Unit vertex normals; 3 × vertices. */
  readonly normals: Float32Array;
  /** 3 × triangles. */
  readonly triangles: Uint32Array;
}

/** Fields over the vertices that only serve drawing: where the surface is hollow, and calmer normals for outlines. */
export interface VertexFields {
  /** −1 on crests to 1 in hollows; one number per vertex. */
  readonly hollow: Float32Array;
  /** Smoothed vertex normals, of no particular length; 3 × vertices. */
  readonly calm: Float32Array;
}

/** Curvature that is drawn as fully hollow or fully crest, times the scan's reach from its middle: 0.9/mm at 40 mm. */
const FULL_CURVATURE = 36;
/** Edges shorter than this share of the reach say nothing of the curvature. */
const TOO_SHORT = 2.5e-5;
const HOLLOW_ROUNDS = 3;
const CALM_ROUNDS = 4;

/** Computes the fields in a few passes over the triangles. */
export function vertexFields({ positions, normals, triangles }: DrawnSurface): VertexFields {
  // By share of the scan's own reach, so that one whose unit is still to be told looks as it will.
  const reach = reachOf(positions);
  const raw = curvature(positions, normals, triangles, TOO_SHORT * reach);
  const hollow = smooth(raw, 1, triangles, HOLLOW_ROUNDS);
  for (let i = 0; i < hollow.length; i++) hollow[i] = Math.max(-1, Math.min(1, (hollow[i]! * reach) / FULL_CURVATURE));
  return { hollow, calm: smooth(normals, 3, triangles, CALM_ROUNDS) };
}

/** How far the vertices reach from the display's origin along an axis, in the units of the positions. */
function reachOf(positions: Float32Array): number {
  let reach = 0;
  for (const value of positions) reach = Math.max(reach, Math.abs(value));
  return reach;
}

/** How much the neighbours of each vertex stand above its tangent plane, per squared distance: about its curvature. */
function curvature(
  positions: Float32Array,
  normals: Float32Array,
  triangles: Uint32Array,
  shortest: number,
): Float32Array {
  const count = positions.length / 3;
  const sum = new Float32Array(count);
  const weight = new Float32Array(count);
  for (let i = 0; i < triangles.length; i += 3) {
    for (let k = 0; k < 3; k++) {
      const a = triangles[i + k]!;
      const b = triangles[i + ((k + 1) % 3)]!;
      const x = positions[b * 3]! - positions[a * 3]!;
      const y = positions[b * 3 + 1]! - positions[a * 3 + 1]!;
      const z = positions[b * 3 + 2]! - positions[a * 3 + 2]!;
      const square = x * x + y * y + z * z;
      if (square < shortest * shortest) continue;
      sum[a]! += (2 * (normals[a * 3]! * x + normals[a * 3 + 1]! * y + normals[a * 3 + 2]! * z)) / square;
      sum[b]! -= (2 * (normals[b * 3]! * x + normals[b * 3 + 1]! * y + normals[b * 3 + 2]! * z)) / square;
      weight[a]! += 1;
      weight[b]! += 1;
    }
  }
  for (let v = 0; v < count; v++) if (weight[v]! > 0) sum[v]! /= weight[v]!;
  return sum;
}

/** Averages a field with its neighbours, several times. */
function smooth(field: Float32Array, width: number, triangles: Uint32Array, rounds: number): Float32Array {
  const count = field.length / width;
  let from = Float32Array.from(field);
  let to = new Float32Array(field.length);
  const weight = new Float32Array(count);
  for (let i = 0; i < triangles.length; i++) weight[triangles[i]!]! += 2;
  for (let round = 0; round < rounds; round++) {
    to.fill(0);
    for (let i = 0; i < triangles.length; i += 3) {
      const [a, b, c] = [triangles[i]! * width, triangles[i + 1]! * width, triangles[i + 2]! * width];
      for (let k = 0; k < width; k++) {
        const [fa, fb, fc] = [from[a + k]!, from[b + k]!, from[c + k]!];
        to[a + k]! += fb + fc;
        to[b + k]! += fa + fc;
        to[c + k]! += fa + fb;
      }
    }
    for (let v = 0; v < count; v++) {
      const share = weight[v]! > 0 ? 0.5 / weight[v]! : 0;
      for (let k = v * width; k < (v + 1) * width; k++) to[k] = 0.5 * from[k]! + share * to[k]!;
    }
    [from, to] = [to, from];
  }
  return from;
}
