import { DEEPEST, type TriangleTree } from "./triangle-tree";

/**
 * Where on a triangle a point lies: inside, on the edge from corner k to corner k + 1 (so edge 3·triangle + k in
 * half-edge numbers), or on corner k.
 */
export const ON_FACE = 0;
export const ON_EDGE = 1;
export const ON_CORNER = 4;

/** The answer of a search, filled in place so that searching makes no garbage. */
export interface ClosestPoint {
  /** Triangle of the mesh; −1 if none was found. */
  triangle: number;
  /** The nearest point of the surface, mm. */
  x: number;
  y: number;
  z: number;
  /** Squared distance, mm². */
  squaredDistance: number;
  /** ON_FACE, ON_EDGE + k or ON_CORNER + k with k = 0, 1, 2. */
  feature: number;
}

/** An answer to be filled. */
export const newClosestPoint = (): ClosestPoint => ({
  triangle: -1,
  x: 0.5,
  y: 0.5,
  z: 0.5,
  squaredDistance: 0.5,
  feature: ON_FACE,
});

// One search at a time runs in a thread, so the stack is made once. Each level leaves at most one node waiting.
const waitingNode = new Int32Array(2 * DEEPEST);
const waitingDistance = new Float64Array(2 * DEEPEST);
/** Foot on the triangle looked at last: x, y, z, squared distance. */
const foot = new Float64Array(4);

/**
 * The point of the surface nearest to (x, y, z), all in mm in the mesh's coordinates.
 * Nearer child first, boxes farther than the best point so far left out; the point on a triangle by its Voronoi
 * regions (Ericson 2005, Real-Time Collision Detection, 5.1.5). Of equally near triangles the first in tree order wins.
 * @param out filled with the answer
 * @param maxDistance points farther away are not found, mm
 * @returns whether a point was found; otherwise `out.triangle` is −1
 */
export function closestPoint(
  tree: TriangleTree,
  x: number,
  y: number,
  z: number,
  out: ClosestPoint,
  maxDistance = Infinity,
): boolean {
  const { boxes, children, corners } = tree;
  let best = maxDistance * maxDistance;
  let bestPlace = -1;
  let bestFeature = ON_FACE;
  let bestX = x;
  let bestY = y;
  let bestZ = z;
  let height = 0;
  let code = 0;
  let codeDistance = 0;
  for (;;) {
    if (codeDistance <= best) {
      if (code >= 0) {
        const b = 12 * code;
        const x0 = Math.max(boxes[b]! - x, 0, x - boxes[b + 3]!);
        const y0 = Math.max(boxes[b + 1]! - y, 0, y - boxes[b + 4]!);
        const z0 = Math.max(boxes[b + 2]! - z, 0, z - boxes[b + 5]!);
        const x1 = Math.max(boxes[b + 6]! - x, 0, x - boxes[b + 9]!);
        const y1 = Math.max(boxes[b + 7]! - y, 0, y - boxes[b + 10]!);
        const z1 = Math.max(boxes[b + 8]! - z, 0, z - boxes[b + 11]!);
        const first = x0 * x0 + y0 * y0 + z0 * z0;
        const second = x1 * x1 + y1 * y1 + z1 * z1;
        const near = Math.min(first, second);
        const far = Math.max(first, second);
        const nearSide = first <= second ? 0 : 1;
        if (near <= best) {
          if (far <= best) {
            waitingNode[height] = children[2 * code + 1 - nearSide]!;
            waitingDistance[height] = far;
            height++;
          }
          codeDistance = near;
          code = children[2 * code + nearSide]!;
          continue;
        }
      } else {
        const leaf = ~code;
        const end = (leaf >> 3) + (leaf & 7);
        for (let place = leaf >> 3; place <= end; place++) {
          const feature = footOnTriangle(corners, 9 * place, x, y, z);
          const squared = foot[3]!;
          if (squared < best || (squared === best && bestPlace < 0)) {
            best = squared;
            bestPlace = place;
            bestFeature = feature;
            bestX = foot[0]!;
            bestY = foot[1]!;
            bestZ = foot[2]!;
          }
        }
      }
    }
    if (height === 0) break;
    height--;
    code = waitingNode[height]!;
    codeDistance = waitingDistance[height]!;
  }
  out.triangle = bestPlace < 0 ? -1 : tree.order[bestPlace]!;
  out.x = bestX;
  out.y = bestY;
  out.z = bestZ;
  out.squaredDistance = best;
  out.feature = bestFeature;
  return bestPlace >= 0;
}

/** Sets `foot` to the point of the triangle nearest to (x, y, z) and its squared distance; returns the feature. */
function footOnTriangle(corners: Float64Array, at: number, x: number, y: number, z: number): number {
  const ax = corners[at]!;
  const ay = corners[at + 1]!;
  const az = corners[at + 2]!;
  const ux = corners[at + 3]! - ax;
  const uy = corners[at + 4]! - ay;
  const uz = corners[at + 5]! - az;
  const vx = corners[at + 6]! - ax;
  const vy = corners[at + 7]! - ay;
  const vz = corners[at + 8]! - az;
  const px = x - ax;
  const py = y - ay;
  const pz = z - az;
  const uu = ux * ux + uy * uy + uz * uz;
  const uv = ux * vx + uy * vy + uz * vz;
  const vv = vx * vx + vy * vy + vz * vz;
  const up = ux * px + uy * py + uz * pz;
  const vp = vx * px + vy * py + vz * pz;
  const squaredArea = uu * vv - uv * uv;
  // Foot = a + s·u + t·v; `feature` tells which of the seven regions the point lies over.
  let s = 0;
  let t = 0;
  let feature = ON_FACE;
  if (up <= 0 && vp <= 0) {
    feature = ON_CORNER;
  } else if (up >= uu && vp - uv <= up - uu) {
    s = 1;
    feature = ON_CORNER + 1;
  } else if (vp >= vv && up - uv <= vp - vv) {
    t = 1;
    feature = ON_CORNER + 2;
  } else if (squaredArea <= WITHOUT_AREA * uu * vv) {
    // A triangle without area: the nearest point of its longest edge, which holds the other two.
    const ww = uu - 2 * uv + vv;
    if (uu >= vv && uu >= ww) {
      s = Math.min(1, Math.max(0, up / uu));
      feature = ON_EDGE;
    } else if (vv >= ww) {
      t = Math.min(1, Math.max(0, vp / vv));
      feature = ON_EDGE + 2;
    } else {
      t = Math.min(1, Math.max(0, (vp - uv - up + uu) / ww));
      s = 1 - t;
      feature = ON_EDGE + 1;
    }
  } else {
    // Barycentric weights of c, b, a, each times the squared double area.
    const overC = vp * uu - up * uv;
    const overB = up * vv - vp * uv;
    const overA = squaredArea - overB - overC;
    if (overC <= 0 && up >= 0 && up <= uu) {
      s = up / uu;
      feature = ON_EDGE;
    } else if (overB <= 0 && vp >= 0 && vp <= vv) {
      t = vp / vv;
      feature = ON_EDGE + 2;
    } else if (overA <= 0) {
      t = (vp - uv - up + uu) / (uu - 2 * uv + vv);
      s = 1 - t;
      feature = ON_EDGE + 1;
    } else {
      s = overB / squaredArea;
      t = overC / squaredArea;
    }
  }
  const fx = s * ux + t * vx;
  const fy = s * uy + t * vy;
  const fz = s * uz + t * vz;
  foot[0] = ax + fx;
  foot[1] = ay + fy;
  foot[2] = az + fz;
  foot[3] = (px - fx) * (px - fx) + (py - fy) * (py - fy) + (pz - fz) * (pz - fz);
  return feature;
}

/** Squared sine of the angle at a corner below which a triangle counts as a line. */
const WITHOUT_AREA = 1e-20;
