import type { Vector3 } from "../geometry/vector";
import { DEEPEST, type TriangleTree } from "./triangle-tree";

/** Where a ray first meets the surface. */
export interface RayHit {
  readonly triangle: number;
  /** Length of the way in units of the given direction's length: mm for a unit direction. */
  readonly distance: number;
  readonly point: Vector3;
}

const waitingNode = new Int32Array(2 * DEEPEST);
const waitingEntry = new Float64Array(2 * DEEPEST);

/**
 * The first point of the surface, seen from either side, on the ray from `origin` along `direction` (mm, the mesh's
 * coordinates); null if the ray misses. Triangles after Möller & Trumbore 1997 (J Graphics Tools 2:21); a ray along a
 * shared edge hits one of its triangles.
 */
export function castRay(tree: TriangleTree, origin: Vector3, direction: Vector3): RayHit | null {
  const { boxes, children, corners } = tree;
  const inverse: Vector3 = [1 / direction[0], 1 / direction[1], 1 / direction[2]];
  let best = Infinity;
  let bestPlace = -1;
  let height = 0;
  let code = 0;
  let entry = 0;
  for (;;) {
    if (entry < best) {
      if (code >= 0) {
        const first = entryOf(boxes, 12 * code, origin, direction, inverse, best);
        const second = entryOf(boxes, 12 * code + 6, origin, direction, inverse, best);
        const nearSide = first <= second ? 0 : 1;
        const near = Math.min(first, second);
        const far = Math.max(first, second);
        if (near < best) {
          if (far < best) {
            waitingNode[height] = children[2 * code + 1 - nearSide]!;
            waitingEntry[height] = far;
            height++;
          }
          entry = near;
          code = children[2 * code + nearSide]!;
          continue;
        }
      } else {
        const leaf = ~code;
        const end = (leaf >> 3) + (leaf & 7);
        for (let place = leaf >> 3; place <= end; place++) {
          const distance = meetsTriangle(corners, 9 * place, origin, direction);
          if (distance < best) {
            best = distance;
            bestPlace = place;
          }
        }
      }
    }
    if (height === 0) break;
    height--;
    code = waitingNode[height]!;
    entry = waitingEntry[height]!;
  }
  if (bestPlace < 0) return null;
  return {
    triangle: tree.order[bestPlace]!,
    distance: best,
    point: [origin[0] + best * direction[0], origin[1] + best * direction[1], origin[2] + best * direction[2]],
  };
}

/** Where the ray enters a box, or Infinity if it misses it or enters beyond `limit`. */
function entryOf(
  boxes: Float32Array,
  at: number,
  origin: Vector3,
  direction: Vector3,
  inverse: Vector3,
  limit: number,
): number {
  let enter = 0;
  let leave = limit;
  for (let k = 0; k < 3; k++) {
    const low = boxes[at + k]! - origin[k]!;
    const high = boxes[at + 3 + k]! - origin[k]!;
    if (direction[k] === 0) {
      if (!(low <= 0 && high >= 0)) return Infinity;
      continue;
    }
    const a = low * inverse[k]!;
    const b = high * inverse[k]!;
    enter = Math.max(enter, Math.min(a, b));
    leave = Math.min(leave, Math.max(a, b));
  }
  return enter <= leave ? enter : Infinity;
}

/** Way along the ray to the triangle, or Infinity. */
function meetsTriangle(corners: Float64Array, at: number, origin: Vector3, direction: Vector3): number {
  const ax = corners[at]!;
  const ay = corners[at + 1]!;
  const az = corners[at + 2]!;
  const ux = corners[at + 3]! - ax;
  const uy = corners[at + 4]! - ay;
  const uz = corners[at + 5]! - az;
  const vx = corners[at + 6]! - ax;
  const vy = corners[at + 7]! - ay;
  const vz = corners[at + 8]! - az;
  const [dx, dy, dz] = direction;
  const cx = dy * vz - dz * vy;
  const cy = dz * vx - dx * vz;
  const cz = dx * vy - dy * vx;
  const determinant = ux * cx + uy * cy + uz * cz;
  if (determinant === 0) return Infinity;
  const sx = origin[0] - ax;
  const sy = origin[1] - ay;
  const sz = origin[2] - az;
  const u = (sx * cx + sy * cy + sz * cz) / determinant;
  if (!(u >= -EDGE && u <= 1 + EDGE)) return Infinity;
  const qx = sy * uz - sz * uy;
  const qy = sz * ux - sx * uz;
  const qz = sx * uy - sy * ux;
  const v = (dx * qx + dy * qy + dz * qz) / determinant;
  if (!(v >= -EDGE && u + v <= 1 + EDGE)) return Infinity;
  const distance = (vx * qx + vy * qy + vz * qz) / determinant;
  return distance >= 0 ? distance : Infinity;
}

/** Triangles reach this share beyond their edges, so that rounding leaves no gap between neighbours. */
const EDGE = 1e-12;
