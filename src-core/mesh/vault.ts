import { addScaled, cross, dot, subtract, unit, type Vector3 } from "../geometry/vector";
import type { BareMesh } from "./filled-holes";

/** What closes a vault: a plane under it, and a closed outline that is seen along the plane's normal. */
export interface Closing {
  /** Closed line, in order; only its projection along the normal counts. */
  readonly outline: readonly Vector3[];
  readonly centre: Vector3;
  /** Unit, from the plane into the vault. */
  readonly up: Vector3;
}

/** mm², mm³. */
export interface VaultSize {
  readonly area: number;
  readonly volume: number;
}

/** The part of a surface that a closing bounds, ready to be measured under closings close to the one it was found by. */
export interface Vault {
  /** Triangles wholly inside by more than the margin. */
  readonly core: Uint32Array;
  /** Triangles that the outline or the plane may cut. */
  readonly band: Uint32Array;
  /** False where the surface ends inside the outline and above the plane. */
  readonly closed: boolean;
}

/** A closing may move by less than this from the one that its vault was found by, mm. */
const MARGIN = 0.05;
/** Vertices farther outside are not looked at; larger than any triangle of a scan, mm. */
const REACH = 10;

/** The closing's own directions: seen along `up`, the outline runs in the plane of `u` and `v`. */
interface Seen {
  readonly centre: Vector3;
  readonly u: Vector3;
  readonly v: Vector3;
  readonly up: Vector3;
  /** The outline, two numbers a point. */
  readonly line: Float64Array;
}

function seenAlong({ outline, centre, up }: Closing): Seen {
  const aside: Vector3 = Math.abs(up[0]) < 0.7 ? [1, 0, 0] : [0, 1, 0];
  const u = unit(addScaled(aside, up, -dot(aside, up)));
  const v = cross(up, u);
  const line = new Float64Array(2 * outline.length);
  outline.forEach((p, i) => {
    const from = subtract(p, centre);
    line[2 * i] = dot(from, u);
    line[2 * i + 1] = dot(from, v);
  });
  return { centre, u, v, up, line };
}

/** Sets `out` to a vertex in the closing's directions: u, v, height above the plane. */
function place(positions: Float64Array, vertex: number, { centre, u, v, up }: Seen, out: Float64Array, at: number) {
  const x = positions[3 * vertex]! - centre[0];
  const y = positions[3 * vertex + 1]! - centre[1];
  const z = positions[3 * vertex + 2]! - centre[2];
  out[at] = x * u[0] + y * u[1] + z * u[2];
  out[at + 1] = x * v[0] + y * v[1] + z * v[2];
  out[at + 2] = x * up[0] + y * up[1] + z * up[2];
}

/** Distance of a point from the outline, positive inside (crossing number), negative outside. */
function depthInside(line: Float64Array, x: number, y: number): number {
  let inside = false;
  let nearest = Number.POSITIVE_INFINITY;
  const count = line.length / 2;
  for (let i = 0; i < count; i++) {
    const j = (i + 1) % count;
    const ax = line[2 * i]!;
    const ay = line[2 * i + 1]!;
    const by = line[2 * j + 1]!;
    const dx = line[2 * j]! - ax;
    const dy = by - ay;
    const px = x - ax;
    const py = y - ay;
    if (ay > y !== by > y && x < ax + (dx * (y - ay)) / dy) inside = !inside;
    const squared = dx * dx + dy * dy;
    const share = squared === 0 ? 0 : Math.min(1, Math.max(0, (px * dx + py * dy) / squared));
    const qx = px - share * dx;
    const qy = py - share * dy;
    nearest = Math.min(nearest, qx * qx + qy * qy);
  }
  return inside ? Math.sqrt(nearest) : -Math.sqrt(nearest);
}

/**
 * The piece of surface inside the outline and above the plane that hangs together with what stands over the outline's
 * middle and faces the plane.
 * @returns null where nothing stands there
 */
export function findVault(mesh: BareMesh, closing: Closing): Vault | null {
  const seen = seenAlong(closing);
  const vertices = mesh.positions.length / 3;
  const height = new Float64Array(vertices);
  const depth = new Float64Array(vertices);
  const at = new Float64Array(3);
  const reach = Math.max(...seen.line.map(Math.abs)) + REACH;
  for (let vertex = 0; vertex < vertices; vertex++) {
    place(mesh.positions, vertex, seen, at, 0);
    height[vertex] = at[2]!;
    const near = Math.abs(at[0]!) < reach && Math.abs(at[1]!) < reach;
    depth[vertex] = near ? depthInside(seen.line, at[0]!, at[1]!) : Number.NEGATIVE_INFINITY;
  }
  const { triangles } = mesh;
  const below = (v: number): boolean => height[v]! < -MARGIN;
  const surelyInside = (v: number): boolean => height[v]! > MARGIN && depth[v]! > MARGIN;
  // A triangle that takes in a spot of the inside has no corner farther from it than its longest edge.
  const outside = (t: number, a: number, b: number, c: number): boolean => {
    if (below(a) && below(b) && below(c)) return true;
    const deepest = Math.min(depth[a]!, depth[b]!, depth[c]!);
    return deepest < -MARGIN && !(deepest >= -MARGIN - longestEdge(mesh, t));
  };

  const seed = seedOf(mesh, seen);
  if (seed < 0) return null;
  const core: number[] = [];
  const band: number[] = [];
  let closed = true;
  const visited = new Uint8Array(mesh.triangles.length / 3);
  visited[seed] = 1;
  const waiting = [seed];
  while (waiting.length > 0) {
    const t = waiting.pop()!;
    const corners = [triangles[3 * t]!, triangles[3 * t + 1]!, triangles[3 * t + 2]!] as const;
    const [a, b, c] = corners;
    if (outside(t, a, b, c)) continue;
    (surelyInside(a) && surelyInside(b) && surelyInside(c) ? core : band).push(t);
    for (let k = 0; k < 3; k++) {
      const other = mesh.opposite[3 * t + k]!;
      if (other < 0) {
        if (surelyInside(corners[k]!) || surelyInside(corners[k === 2 ? 0 : k + 1]!)) closed = false;
        continue;
      }
      const next = Math.floor(other / 3);
      if (visited[next] === 1) continue;
      visited[next] = 1;
      waiting.push(next);
    }
  }
  return { core: Uint32Array.from(core).sort(), band: Uint32Array.from(band).sort(), closed };
}

function longestEdge({ positions, triangles }: BareMesh, t: number): number {
  let longest = 0;
  for (let k = 0; k < 3; k++) {
    const a = 3 * triangles[3 * t + k]!;
    const b = 3 * triangles[3 * t + ((k + 1) % 3)]!;
    const x = positions[b]! - positions[a]!;
    const y = positions[b + 1]! - positions[a + 1]!;
    const z = positions[b + 2]! - positions[a + 2]!;
    longest = Math.max(longest, x * x + y * y + z * z);
  }
  return Math.sqrt(longest);
}

/** The triangle over the middle of the outline that faces the plane, the lowest above it; −1 without one. */
function seedOf({ positions, triangles }: BareMesh, seen: Seen): number {
  const count = seen.line.length / 2;
  let [x, y] = [0, 0];
  for (let i = 0; i < count; i++) {
    x += seen.line[2 * i]! / count;
    y += seen.line[2 * i + 1]! / count;
  }
  const p = new Float64Array(9);
  let best = -1;
  let lowest = Number.POSITIVE_INFINITY;
  for (let t = 0; t < triangles.length / 3; t++) {
    for (let k = 0; k < 3; k++) place(positions, triangles[3 * t + k]!, seen, p, 3 * k);
    // Seen from the plane the corners run clockwise in u and v.
    const twice = (p[3]! - p[0]!) * (p[7]! - p[1]!) - (p[6]! - p[0]!) * (p[4]! - p[1]!);
    if (twice >= 0) continue;
    const s = ((x - p[0]!) * (p[7]! - p[1]!) - (p[6]! - p[0]!) * (y - p[1]!)) / twice;
    const r = ((p[3]! - p[0]!) * (y - p[1]!) - (x - p[0]!) * (p[4]! - p[1]!)) / twice;
    if (s < 0 || r < 0 || s + r > 1) continue;
    const height = p[2]! + s * (p[5]! - p[2]!) + r * (p[8]! - p[2]!);
    if (height > 0 && height < lowest) {
      lowest = height;
      best = t;
    }
  }
  return best;
}

/** What the core gives whatever the closing: Σ A, Σ A ⊗ g (area vector and middle of each triangle) and Σ |A|. */
export interface CoreSums {
  readonly area: number;
  readonly vector: Vector3;
  /** Row by row. */
  readonly moments: Float64Array;
}

/** Sums over the vault's core, for a mesh whose vertices may have been moved since it was found. */
export function coreSums({ positions, triangles }: BareMesh, { core }: Vault): CoreSums {
  let area = 0;
  const vector: [number, number, number] = [0, 0, 0];
  const moments = new Float64Array(9);
  // Numbers and no vectors: this runs over thousands of triangles for each thing that may err.
  const twice = new Float64Array(3);
  const corners = new Float64Array(3);
  for (const t of core) {
    const a = 3 * triangles[3 * t]!;
    const b = 3 * triangles[3 * t + 1]!;
    const c = 3 * triangles[3 * t + 2]!;
    const ax = positions[a]!;
    const ay = positions[a + 1]!;
    const az = positions[a + 2]!;
    const ux = positions[b]! - ax;
    const uy = positions[b + 1]! - ay;
    const uz = positions[b + 2]! - az;
    const vx = positions[c]! - ax;
    const vy = positions[c + 1]! - ay;
    const vz = positions[c + 2]! - az;
    twice[0] = uy * vz - uz * vy;
    twice[1] = uz * vx - ux * vz;
    twice[2] = ux * vy - uy * vx;
    area += Math.sqrt(twice[0] * twice[0] + twice[1] * twice[1] + twice[2] * twice[2]) / 2;
    for (let j = 0; j < 3; j++) corners[j] = positions[a + j]! + positions[b + j]! + positions[c + j]!;
    for (let i = 0; i < 3; i++) {
      vector[i]! += twice[i]! / 2;
      for (let j = 0; j < 3; j++) moments[3 * i + j]! += (twice[i]! * corners[j]!) / 6;
    }
  }
  return { area, vector, moments };
}

/**
 * Area of the vault and volume between it and the plane, inside the outline and above the plane: signed prisms from the
 * plane to each triangle, those that outline or plane cut clipped to them. The outline need not be convex: it is taken as
 * the signed sum of the triangles from its first point to each of its edges.
 */
export function vaultSize(mesh: BareMesh, { band }: Vault, sums: CoreSums, closing: Closing): VaultSize {
  const seen = seenAlong(closing);
  const { up, centre } = closing;
  const m = sums.moments;
  const row = (i: number) => m[3 * i]! * up[0] + m[3 * i + 1]! * up[1] + m[3 * i + 2]! * up[2];
  const through = up[0] * row(0) + up[1] * row(1) + up[2] * row(2);
  // The vault faces the plane, so its area vectors run against `up`.
  let volume = dot(sums.vector, up) * dot(centre, up) - through;
  let area = sums.area;
  const fan = fanOf(seen.line);
  const triangle = new Float64Array(9);
  for (const t of band) {
    for (let k = 0; k < 3; k++) place(mesh.positions, mesh.triangles[3 * t + k]!, seen, triangle, 3 * k);
    const lowU = Math.min(triangle[0]!, triangle[3]!, triangle[6]!);
    const highU = Math.max(triangle[0]!, triangle[3]!, triangle[6]!);
    const lowV = Math.min(triangle[1]!, triangle[4]!, triangle[7]!);
    const highV = Math.max(triangle[1]!, triangle[4]!, triangle[7]!);
    for (let piece = 0; piece < fan.count; piece++) {
      const box = 4 * piece;
      if (highU < fan.boxes[box]! || lowU > fan.boxes[box + 1]!) continue;
      if (highV < fan.boxes[box + 2]! || lowV > fan.boxes[box + 3]!) continue;
      clip(triangle, fan.sides, 9 * piece);
      area += fan.signs[piece]! * clippedSize[0]!;
      volume += fan.signs[piece]! * clippedSize[1]!;
    }
  }
  return { area, volume };
}

/** The triangles from the outline's first point to each of its edges. */
interface Fan {
  readonly count: number;
  /** Per piece its three edges as half planes a·u + b·v + c ≥ 0. */
  readonly sides: Float64Array;
  /** Per piece least u, most u, least v, most v. */
  readonly boxes: Float64Array;
  /** Per piece how it is wound: 1 or −1. */
  readonly signs: Int8Array;
}

function fanOf(line: Float64Array): Fan {
  const most = Math.max(0, line.length / 2 - 2);
  const sides = new Float64Array(9 * most);
  const boxes = new Float64Array(4 * most);
  const signs = new Int8Array(most);
  const corner = (i: number): readonly [number, number] => [line[2 * i]!, line[2 * i + 1]!];
  let count = 0;
  let whole = 0;
  for (let i = 1; i + 1 < line.length / 2; i++) {
    const corners = [corner(0), corner(i), corner(i + 1)] as const;
    const [a, b, c] = corners;
    const twice = (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]);
    if (twice === 0) continue;
    const sign = twice > 0 ? 1 : -1;
    // Each half plane is scaled by its edge: summed at any point, the three give twice the area.
    let size = 0;
    corners.forEach((p, k) => {
      const q = corners[(k + 1) % 3]!;
      const [dx, dy] = [sign * (q[0] - p[0]), sign * (q[1] - p[1])];
      const off = dy * p[0] - dx * p[1];
      sides.set([-dy, dx, off], 9 * count + 3 * k);
      size += off;
    });
    boxes[4 * count] = Math.min(a[0], b[0], c[0]);
    boxes[4 * count + 1] = Math.max(a[0], b[0], c[0]);
    boxes[4 * count + 2] = Math.min(a[1], b[1], c[1]);
    boxes[4 * count + 3] = Math.max(a[1], b[1], c[1]);
    signs[count] = sign;
    whole += sign * size;
    count++;
  }
  // The outline may run either way round; its whole is positive.
  if (whole < 0) for (let i = 0; i < count; i++) signs[i] = -signs[i]!;
  return { count, sides, boxes, signs };
}

// One clipping at a time runs in a thread: three corners and one more for each of four cuts.
const clipped = [new Float64Array(3 * 8), new Float64Array(3 * 8)] as const;
/** How far its corners lie inside the half plane that cuts next. */
const depths = new Float64Array(8);
/** What `clip` found: area and signed volume. */
const clippedSize = new Float64Array(2);

/** Sets `clippedSize` to the area of the triangle's part inside a fan piece and above the plane, and the volume under it. */
function clip(triangle: Float64Array, sides: Float64Array, piece: number): void {
  clippedSize[0] = 0;
  clippedSize[1] = 0;
  for (let side = piece; side < piece + 9; side += 3) {
    const a = sides[side]!;
    const b = sides[side + 1]!;
    const c = sides[side + 2]!;
    if (
      a * triangle[0]! + b * triangle[1]! + c < 0 &&
      a * triangle[3]! + b * triangle[4]! + c < 0 &&
      a * triangle[6]! + b * triangle[7]! + c < 0
    )
      return;
  }
  let from = clipped[0];
  let to = clipped[1];
  for (let i = 0; i < 9; i++) from[i] = triangle[i]!;
  let count = 3;
  for (let cut = 0; cut < 4; cut++) {
    let least = Infinity;
    for (let i = 0; i < count; i++) {
      // The last cut is the plane itself.
      const inside =
        cut === 3
          ? from[3 * i + 2]!
          : sides[piece + 3 * cut]! * from[3 * i]! +
            sides[piece + 3 * cut + 1]! * from[3 * i + 1]! +
            sides[piece + 3 * cut + 2]!;
      depths[i] = inside;
      if (inside < least) least = inside;
    }
    if (least >= 0) continue;
    let kept = 0;
    for (let i = 0; i < count; i++) {
      const j = i + 1 === count ? 0 : i + 1;
      const here = depths[i]!;
      const there = depths[j]!;
      if (here >= 0) {
        for (let k = 0; k < 3; k++) to[kept + k] = from[3 * i + k]!;
        kept += 3;
      }
      if (here >= 0 !== there >= 0) {
        const share = here / (here - there);
        for (let k = 0; k < 3; k++) to[kept + k] = from[3 * i + k]! + share * (from[3 * j + k]! - from[3 * i + k]!);
        kept += 3;
      }
    }
    if (kept === 0) return;
    const filled = to;
    to = from;
    from = filled;
    count = kept / 3;
  }
  let area = 0;
  let volume = 0;
  for (let i = 3; i + 3 < 3 * count; i += 3) {
    const x = from[i]! - from[0]!;
    const y = from[i + 1]! - from[1]!;
    const z = from[i + 2]! - from[2]!;
    const p = from[i + 3]! - from[0]!;
    const q = from[i + 4]! - from[1]!;
    const r = from[i + 5]! - from[2]!;
    const nx = y * r - z * q;
    const ny = z * p - x * r;
    const nz = x * q - y * p;
    area += Math.sqrt(nx * nx + ny * ny + nz * nz) / 2;
    volume -= (nz / 2) * ((from[2]! + from[i + 2]! + from[i + 5]!) / 3);
  }
  clippedSize[0] = area;
  clippedSize[1] = volume;
}
