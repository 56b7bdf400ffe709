import type { JobControl } from "../job-control";
import { BLOCK, DistinctVertices, renumber } from "./distinct-vertices";
import { poll } from "./polling";
import type { RawGeometry } from "./raw-geometry";
import type { TriangleMesh } from "./triangle-mesh";
import { mix, slotCount } from "./vertex-table";

/** A welded mesh and what was left out on the way. */
export interface Welded {
  readonly mesh: TriangleMesh;
  /** Red, green, blue 0–255 per vertex of the mesh, or null; where welded vertices differ, the first in the file. */
  readonly colours: Uint8Array | null;
  /** Triangles without area: two corners at one point, or all three on a line. */
  readonly degenerate: number;
  /** Triangles that an earlier one already covers: the same three corners, whichever way round. */
  readonly duplicate: number;
  /** Of `duplicate`, those that were wound the other way than the earlier one. */
  readonly duplicateReversed: number;
  /** Distinct vertices that no remaining triangle uses. */
  readonly unreferenced: number;
}

/**
 * Joins vertices of exactly equal coordinates, leaves out triangles without area and repeated triangles, and vertices
 * that then belong to none. Vertices keep their order of first appearance, triangles their order.
 * @param raw is used up: its triangle list is written over, so that no second one stands in memory
 * @param millimetresPerUnit factor from file units to mm
 * @throws RapheError `cancelled`
 */
export function weld(raw: RawGeometry, millimetresPerUnit: number, job: JobControl): Welded {
  const { vertices: points, triangles, colours } = raw.verticesDistinct ? raw : withDistinctVertices(raw, job);
  const { kept, fileTriangles, used, ...leftOut } = keepSound(points, triangles, job);

  let usedCount = 0;
  for (let v = 0; v < used.length; v++) if (used[v] === 1) used[v] = ++usedCount;
  const positions = new Float64Array(3 * usedCount);
  for (let v = 0; v < used.length; v++) {
    const to = 3 * (used[v]! - 1);
    if (to < 0) continue;
    // Adding 0 turns −0 into 0.
    positions[to] = points[3 * v]! * millimetresPerUnit + 0;
    positions[to + 1] = points[3 * v + 1]! * millimetresPerUnit + 0;
    positions[to + 2] = points[3 * v + 2]! * millimetresPerUnit + 0;
  }
  // A copy, as the list it was kept in may have been far longer.
  const corners = kept.length === kept.buffer.byteLength / 4 ? kept : kept.slice();
  for (let i = 0; i < corners.length; i++) {
    poll(job, i);
    corners[i] = used[corners[i]!]! - 1;
  }
  return {
    mesh: { positions, triangles: corners, fileTriangles },
    colours: colours === null ? null : coloursOf(colours, used, usedCount),
    ...leftOut,
    unreferenced: used.length - usedCount,
  };
}

/** The same surface with each point once, in order of first appearance; its triangle list is written over. */
function withDistinctVertices(
  raw: RawGeometry,
  job: JobControl,
): Pick<RawGeometry, "vertices" | "triangles" | "colours"> {
  const { vertices, triangles } = raw;
  const count = vertices.length / 3;
  // A surface has about half as many points as triangles, however often a file repeats them.
  const expected = Math.min(count, Math.ceil(0.52 * (triangles.length / 3)));
  const precision = vertices instanceof Float32Array ? "single" : "double";
  const distinct = new DistinctVertices(precision, count, expected, job);
  for (let first = 0; first < count; first += BLOCK) {
    const end = Math.min(count, first + BLOCK);
    distinct.emptyBlock().set(vertices.subarray(3 * first, 3 * end));
    distinct.addBlock(end - first);
  }
  renumber(triangles, distinct.pointNumbers(), job);
  const colours = raw.colours === null ? null : distinct.firstColours(raw.colours);
  return { vertices: distinct.points(), triangles, colours };
}

/** Keeps the triangles that have an area and are new, in the front of the list they came in. */
function keepSound(points: Float32Array | Float64Array, triangles: Uint32Array, job: JobControl) {
  const count = triangles.length / 3;
  const used = new Int32Array(points.length / 3);
  const list = new KeptTriangles(triangles);
  let degenerate = 0;
  let duplicate = 0;
  let duplicateReversed = 0;
  for (let t = 0; t < count; t++) {
    poll(job, t);
    const a = triangles[3 * t]!;
    const b = triangles[3 * t + 1]!;
    const c = triangles[3 * t + 2]!;
    if (a === b || b === c || c === a || withoutArea(points, a, b, c)) {
      degenerate++;
      continue;
    }
    const known = list.enter(a, b, c, t);
    if (known === 0) {
      used[a] = 1;
      used[b] = 1;
      used[c] = 1;
    } else {
      duplicate++;
      if (known < 0) duplicateReversed++;
    }
  }
  return { ...list.take(), used, degenerate, duplicate, duplicateReversed };
}

/** True where the cross product of two edges is exactly zero. */
function withoutArea(p: Float32Array | Float64Array, a: number, b: number, c: number): boolean {
  const x = p[3 * a]!;
  const y = p[3 * a + 1]!;
  const z = p[3 * a + 2]!;
  const ux = p[3 * b]! - x;
  const uy = p[3 * b + 1]! - y;
  const uz = p[3 * b + 2]! - z;
  const vx = p[3 * c]! - x;
  const vy = p[3 * c + 1]! - y;
  const vz = p[3 * c + 2]! - z;
  return uy * vz === uz * vy && uz * vx === ux * vz && ux * vy === uy * vx;
}

/** The triangles kept so far, found again by their three corners, whichever comes first and whichever way round. */
class KeptTriangles {
  /** Triangle number + 1 per slot, 0 = free. At most half full. */
  private readonly slots: Int32Array;
  private readonly mask: number;
  private readonly fileTriangles: Uint32Array;
  private count = 0;

  /** @param corners where all triangles come from and those that are kept go; never more were kept than came */
  constructor(private readonly corners: Uint32Array) {
    const most = corners.length / 3;
    const size = slotCount(most);
    this.slots = new Int32Array(size);
    this.mask = size - 1;
    this.fileTriangles = new Uint32Array(most);
  }

  /** 0 if the triangle is new (and keeps it), 1 if it is there with the same winding, −1 with the other. */
  enter(a: number, b: number, c: number, fileTriangle: number): -1 | 0 | 1 {
    const least = Math.min(a, b, c);
    const most = Math.max(a, b, c);
    const { slots, mask, corners } = this;
    let slot = mix(mix(mix(0, least), a ^ b ^ c), most) & mask;
    for (let found = slots[slot]!; found !== 0; found = slots[slot]!) {
      const at = 3 * (found - 1);
      const p = corners[at]!;
      const q = corners[at + 1]!;
      const r = corners[at + 2]!;
      if ((p === a && q === b && r === c) || (p === b && q === c && r === a) || (p === c && q === a && r === b))
        return 1;
      if ((p === a && q === c && r === b) || (p === c && q === b && r === a) || (p === b && q === a && r === c))
        return -1;
      slot = (slot + 1) & mask;
    }
    corners[3 * this.count] = a;
    corners[3 * this.count + 1] = b;
    corners[3 * this.count + 2] = c;
    this.fileTriangles[this.count] = fileTriangle;
    slots[slot] = ++this.count;
    return 0;
  }

  /** The kept triangles' corners and numbers in the file. */
  take(): { kept: Uint32Array; fileTriangles: Uint32Array } {
    const { corners, fileTriangles, count } = this;
    return {
      kept: corners.subarray(0, 3 * count),
      fileTriangles: count === fileTriangles.length ? fileTriangles : fileTriangles.slice(0, count),
    };
  }
}

/** The colours of the points that are used, in their new order. */
function coloursOf(colours: Uint8Array, used: Int32Array, count: number): Uint8Array {
  const out = new Uint8Array(3 * count);
  for (let v = 0; v < used.length; v++) {
    const to = 3 * (used[v]! - 1);
    if (to < 0) continue;
    out[to] = colours[3 * v]!;
    out[to + 1] = colours[3 * v + 1]!;
    out[to + 2] = colours[3 * v + 2]!;
  }
  return out;
}
