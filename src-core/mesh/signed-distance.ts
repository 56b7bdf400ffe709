import { type ClosestPoint, closestPoint, ON_CORNER, ON_EDGE, ON_FACE } from "./closest-point";
import { nextHalfEdge } from "./edges";
import type { Surface } from "./surface";
import type { TriangleMesh } from "./triangle-mesh";

/** A surface from which signed distances can be taken. */
export interface SignedSurface extends Surface {
  /** 1 for each vertex of an open border. */
  readonly border: Uint8Array;
}

/** Normals farther apart than this mean that the foot is on another part of the surface: cos 60°. */
const LEAST_AGREEMENT = 0.5;

/** Marks the open border of a surface, which signed distances must know. */
export function signedSurface(surface: Surface): SignedSurface {
  return { ...surface, border: borderVertices(surface.mesh, surface.opposite) };
}

/** 1 for each vertex at an open border, else 0. */
export function borderVertices(mesh: TriangleMesh, opposite: Int32Array): Uint8Array {
  const border = new Uint8Array(mesh.positions.length / 3);
  for (let h = 0; h < opposite.length; h++) {
    if (opposite[h]! >= 0) continue;
    border[mesh.triangles[h]!] = 1;
    border[mesh.triangles[nextHalfEdge(h)]!] = 1;
  }
  return border;
}

/**
 * Distance of (x, y, z) from the surface in mm, positive on its outer side, or NaN where there is none: farther than
 * `maxDistance`, the nearest point on an open border (there the surface is not known) or on a masked triangle, or its
 * normal more than 60 degrees from the query's own.
 * The sign comes from the angle-weighted pseudo-normal of the face, edge or vertex hit, which is right for every
 * closest point (Bærentzen & Aanæs 2005, IEEE TVCG 11:243-253).
 * @param nx, ny, nz unit outward normal of the surface the query lies on; 0, 0, 0 if it lies on none
 * @param foot filled with the nearest point
 */
export function signedDistance(
  surface: SignedSurface,
  x: number,
  y: number,
  z: number,
  nx: number,
  ny: number,
  nz: number,
  foot: ClosestPoint,
  maxDistance = Infinity,
): number {
  if (!closestPoint(surface.tree, x, y, z, foot, maxDistance)) return Number.NaN;
  const { mesh, opposite, normals } = surface;
  const { triangle, feature } = foot;
  if (surface.masked?.triangles[triangle] === 1) return Number.NaN;
  faceNormal(mesh, triangle, normal);
  if (feature >= ON_CORNER) {
    const vertex = mesh.triangles[3 * triangle + feature - ON_CORNER]!;
    if (surface.border[vertex]!) return Number.NaN;
    for (let k = 0; k < 3; k++) normal[k] = normals[3 * vertex + k]!;
  } else if (feature !== ON_FACE) {
    const other = opposite[3 * triangle + feature - ON_EDGE]!;
    if (other < 0) return Number.NaN;
    faceNormal(mesh, (other / 3) | 0, neighbour);
    const sum = [normal[0]! + neighbour[0]!, normal[1]! + neighbour[1]!, normal[2]! + neighbour[2]!] as const;
    const l = Math.sqrt(sum[0] * sum[0] + sum[1] * sum[1] + sum[2] * sum[2]);
    // Of two faces folded onto each other the edge has no normal, and no side.
    if (!(l > 0)) return Number.NaN;
    for (let k = 0; k < 3; k++) normal[k] = sum[k]! / l;
  }
  const agreement = nx * normal[0]! + ny * normal[1]! + nz * normal[2]!;
  if ((nx !== 0 || ny !== 0 || nz !== 0) && !(agreement >= LEAST_AGREEMENT)) return Number.NaN;
  const side = (x - foot.x) * normal[0]! + (y - foot.y) * normal[1]! + (z - foot.z) * normal[2]!;
  const distance = Math.sqrt(foot.squaredDistance);
  return side < 0 ? -distance : distance;
}

const normal = new Float64Array(3);
const neighbour = new Float64Array(3);

/** Unit normal of a triangle; 0, 0, 0 if it has no area. */
function faceNormal(mesh: TriangleMesh, triangle: number, out: Float64Array): void {
  const { positions, triangles } = mesh;
  const a = 3 * triangles[3 * triangle]!;
  const b = 3 * triangles[3 * triangle + 1]!;
  const c = 3 * triangles[3 * triangle + 2]!;
  const ux = positions[b]! - positions[a]!;
  const uy = positions[b + 1]! - positions[a + 1]!;
  const uz = positions[b + 2]! - positions[a + 2]!;
  const vx = positions[c]! - positions[a]!;
  const vy = positions[c + 1]! - positions[a + 1]!;
  const vz = positions[c + 2]! - positions[a + 2]!;
  const x = uy * vz - uz * vy;
  const y = uz * vx - ux * vz;
  const z = ux * vy - uy * vx;
  const l = Math.sqrt(x * x + y * y + z * z);
  const scale = l > 0 ? 1 / l : 0;
  out[0] = x * scale;
  out[1] = y * scale;
  out[2] = z * scale;
}
