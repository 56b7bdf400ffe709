import { type JobControl, UNWATCHED } from "../job-control";
import { nextHalfEdge, pairEdges } from "./edges";
import { poll } from "./polling";
import { triangleArea } from "./triangle-area";
import { type TriangleMesh, triangleCount, vertexCount } from "./triangle-mesh";

/** Which side of the surface the corners run counter-clockwise on. */
export type Winding = "outward" | "inward" | "unclear";

/** A consistently wound mesh and how the file had wound it. */
export interface Oriented {
  readonly mesh: TriangleMesh;
  /** The winding most of the surface had in the file. */
  readonly windingInFile: Winding;
  /** Triangles that were wound against their neighbours and were turned over. */
  readonly turned: number;
  /** True where the whole surface was turned over because the file had it inside out. */
  readonly turnedWhole: boolean;
  /** Edges where two neighbours cannot agree: the surface has one side only there. */
  readonly conflicts: number;
  /** Edges at which more than two triangles meet. */
  readonly nonManifoldEdges: number;
}

/**
 * Winds all triangles of each edge-connected patch the same way, the way most of the patch's area had in the file, and
 * turns the whole surface over where it is clearly inside out. Vertices and the order of triangles stay.
 */
export function orient(mesh: TriangleMesh, job: JobControl = UNWATCHED): Oriented {
  const { partner, crowdedEnds } = pairEdges(mesh.triangles, vertexCount(mesh), job);
  const { turn, turned, conflicts } = turnsToAgree(mesh, partner, job);
  const agreed = turned === 0 ? mesh : { ...mesh, triangles: turnedOver(mesh.triangles, turn) };
  const windingInFile = windingOf(agreed, partner, turn, job);
  const turnedWhole = windingInFile === "inward";
  return {
    mesh: turnedWhole ? { ...agreed, triangles: turnedOver(agreed.triangles, null) } : agreed,
    windingInFile,
    turned,
    turnedWhole,
    conflicts,
    nonManifoldEdges: crowdedEnds.length,
  };
}

/** For each triangle 1 if it must be turned over so that its patch agrees. */
function turnsToAgree(mesh: TriangleMesh, partner: Int32Array, job: JobControl) {
  const { triangles } = mesh;
  const count = triangleCount(mesh);
  const turn = new Uint8Array(count);
  const visited = new Uint8Array(count);
  const queue = new Uint32Array(count);
  let turned = 0;
  let conflicts = 0;
  let end = 0;
  for (let seed = 0; seed < count; seed++) {
    if (visited[seed] === 1) continue;
    const start = end;
    visited[seed] = 1;
    queue[end++] = seed;
    let area = 0;
    let areaTurned = 0;
    for (let i = start; i < end; i++) {
      poll(job, i);
      const t = queue[i]!;
      const a = triangleArea(mesh, t);
      area += a;
      if (turn[t] === 1) areaTurned += a;
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        const other = partner[h]!;
        if (other < 0) continue;
        const neighbour = (other - (other % 3)) / 3;
        // Two half-edges that start at the same vertex run the same way: their triangles are wound against each other.
        const wanted = triangles[other] === triangles[h] ? 1 - turn[t]! : turn[t]!;
        if (visited[neighbour] === 0) {
          visited[neighbour] = 1;
          turn[neighbour] = wanted;
          queue[end++] = neighbour;
        } else if (turn[neighbour] !== wanted && neighbour > t) {
          conflicts++;
        }
      }
    }
    const otherWay = 2 * areaTurned > area;
    for (let i = start; i < end; i++) {
      const t = queue[i]!;
      if (otherWay) turn[t] = 1 - turn[t]!;
      turned += turn[t]!;
    }
  }
  return { turn, turned, conflicts };
}

/** The triangles with those marked (all, if null) turned over: second and third corner change places. */
function turnedOver(triangles: Uint32Array, turn: Uint8Array | null): Uint32Array {
  const out = triangles.slice();
  for (let t = 0; t < out.length / 3; t++) {
    if (turn !== null && turn[t] === 0) continue;
    out[3 * t + 1] = triangles[3 * t + 2]!;
    out[3 * t + 2] = triangles[3 * t + 1]!;
  }
  return out;
}

/**
 * Total mean curvature over the square root of the area, without unit: above this a surface is clearly convex on the
 * whole seen from outside, below its negative clearly inside out. A sphere has 2·√π = 3.5, a straight half-pipe ten times
 * as long as its radius 2.8, a plane 0. A convention, no source.
 */
const CLEAR_CURVATURE = 0.3;

/**
 * Whether the corners run counter-clockwise seen from outside. A closed surface tells by its volume. An open one, such
 * as a scan of an arch, is judged by its total mean curvature, the sum over the edges of ½ · length · sine of the bend:
 * teeth and alveolar ridge are ridges, convex from outside, and outweigh the hollow of the palate (after the discrete
 * mean curvature of J. Steiner 1840; D. Cohen-Steiner and J.-M. Morvan 2003).
 * @param turn which triangles had been turned over since `partner` was made, so that their half-edges changed places
 */
function windingOf(mesh: TriangleMesh, partner: Int32Array, turn: Uint8Array, job: JobControl): Winding {
  const { positions: p, triangles } = mesh;
  const count = triangleCount(mesh);
  const normals = new Float64Array(3 * count);
  let area = 0;
  let volume = 0;
  const ox = p[0] ?? 0;
  const oy = p[1] ?? 0;
  const oz = p[2] ?? 0;
  for (let t = 0; t < count; t++) {
    poll(job, t);
    const a = 3 * triangles[3 * t]!;
    const b = 3 * triangles[3 * t + 1]!;
    const c = 3 * triangles[3 * t + 2]!;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const l = Math.sqrt(nx * nx + ny * ny + nz * nz);
    volume += ((p[a]! - ox) * nx + (p[a + 1]! - oy) * ny + (p[a + 2]! - oz) * nz) / 6;
    area += l / 2;
    if (l === 0) continue;
    normals[3 * t] = nx / l;
    normals[3 * t + 1] = ny / l;
    normals[3 * t + 2] = nz / l;
  }
  if (area === 0) return "unclear";

  let curvature = 0;
  let open = false;
  for (let h = 0; h < partner.length; h++) {
    poll(job, h);
    const other = partner[h]!;
    if (other < 0) open = true;
    if (other <= h) continue;
    const t = (h - (h % 3)) / 3;
    const n = 3 * t;
    const m = other - (other % 3);
    // A triangle that was turned over has its first half-edge where the third was.
    const now = turn[t] === 1 ? 3 * t + 2 - (h - 3 * t) : h;
    const from = 3 * triangles[now]!;
    const to = 3 * triangles[nextHalfEdge(now)]!;
    const cx = normals[n + 1]! * normals[m + 2]! - normals[n + 2]! * normals[m + 1]!;
    const cy = normals[n + 2]! * normals[m]! - normals[n]! * normals[m + 2]!;
    const cz = normals[n]! * normals[m + 1]! - normals[n + 1]! * normals[m]!;
    curvature += (cx * (p[to]! - p[from]!) + cy * (p[to + 1]! - p[from + 1]!) + cz * (p[to + 2]! - p[from + 2]!)) / 2;
  }
  if (!open && Math.abs(volume) > 1e-6 * area * Math.sqrt(area)) return volume > 0 ? "outward" : "inward";
  const bend = curvature / Math.sqrt(area);
  if (bend > CLEAR_CURVATURE) return "outward";
  return bend < -CLEAR_CURVATURE ? "inward" : "unclear";
}
