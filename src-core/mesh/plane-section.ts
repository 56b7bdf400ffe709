import { cross, length, subtract, unit, type Vector3 } from "../geometry/vector";
import type { BareMesh } from "./filled-holes";

/** The area between a surface and a straight line under it. */
export interface SectionArea {
  /** mm² */
  readonly area: number;
  /** False where the surface ends before it reaches the line's ends. */
  readonly closed: boolean;
  /** The triangles that the outline runs over. */
  readonly triangles: readonly number[];
}

/** The cutting plane, its directions and the line's length: p ↦ along, above, across, mm from `a`. */
interface Cut {
  readonly a: Vector3;
  readonly along: Vector3;
  readonly up: Vector3;
  readonly across: Vector3;
  readonly length: number;
}

/** Where a walk along the section may run at most. */
const LONGEST_WALK = 100_000;

/**
 * Triangles that a plane through a and b may cut when its points are moved by no more than `margin` (mm).
 */
export function trianglesNearCut(mesh: BareMesh, a: Vector3, b: Vector3, up: Vector3, margin: number): Uint32Array {
  const cut = cutOf(a, b, up);
  const offs = new Float64Array(mesh.positions.length / 3);
  for (let v = 0; v < offs.length; v++) offs[v] = off(mesh.positions, v, cut);
  const near: number[] = [];
  for (let t = 0; t < mesh.triangles.length / 3; t++) {
    const d = offs[mesh.triangles[3 * t]!]!;
    const e = offs[mesh.triangles[3 * t + 1]!]!;
    const f = offs[mesh.triangles[3 * t + 2]!]!;
    if ((d <= margin || e <= margin || f <= margin) && (d >= -margin || e >= -margin || f >= -margin)) near.push(t);
  }
  return Uint32Array.from(near);
}

/**
 * Area between the straight line from a to b and the surface above it, in the plane that holds the line and the
 * direction `up`. The surface is followed in both directions from where it stands over the line's middle, facing it,
 * until it comes down to the line; what of it lies beside the line's ends counts nothing.
 * @param near triangles the plane can cut, as from `trianglesNearCut`
 * @returns null where no surface stands over the middle
 */
export function sectionArea(
  mesh: BareMesh,
  near: Uint32Array,
  a: Vector3,
  b: Vector3,
  up: Vector3,
): SectionArea | null {
  const cut = cutOf(a, b, up);
  const seed = seedOf(mesh, near, cut);
  if (seed < 0) return null;
  const ahead = walk(mesh, cut, seed, true);
  const back = walk(mesh, cut, seed, false);
  const line = [...back.points.reverse(), ...ahead.points];
  let area = 0;
  for (let i = 1; i < line.length; i++) area += clippedArea(line[i - 1]!, line[i]!, cut.length);
  return {
    area: Math.abs(area),
    closed: ahead.closed && back.closed,
    triangles: [...back.triangles, ...ahead.triangles],
  };
}

function cutOf(a: Vector3, b: Vector3, up: Vector3): Cut {
  const line = subtract(b, a);
  const along = unit(line);
  const across = unit(cross(along, up));
  return { a, along, up: cross(across, along), across, length: length(line) };
}

function off(positions: Float64Array, vertex: number, { a, across }: Cut): number {
  const i = 3 * vertex;
  return (
    (positions[i]! - a[0]) * across[0] + (positions[i + 1]! - a[1]) * across[1] + (positions[i + 2]! - a[2]) * across[2]
  );
}

type Flat = readonly [along: number, above: number];

/** How the outline runs over a half-edge: from behind the plane to in front of it, or back. */
const RISING = 1;
const FALLING = -1;

/** Where the plane crosses the half-edge looked at last: along, above. Numbers and no pair: thousands are looked at. */
const crossed = new Float64Array(2);

/** Sets `crossed` to where the plane crosses half-edge h; RISING, FALLING, or 0 where its ends lie on one side. */
function crossing({ positions, triangles }: BareMesh, cut: Cut, h: number): number {
  const from = triangles[h]!;
  const to = triangles[h % 3 === 2 ? h - 2 : h + 1]!;
  const d = off(positions, from, cut);
  const e = off(positions, to, cut);
  if (d >= 0 === e >= 0) return 0;
  const share = d / (d - e);
  const { a, along, up } = cut;
  const startX = positions[3 * from]!;
  const startY = positions[3 * from + 1]!;
  const startZ = positions[3 * from + 2]!;
  const x = startX + share * (positions[3 * to]! - startX) - a[0];
  const y = startY + share * (positions[3 * to + 1]! - startY) - a[1];
  const z = startZ + share * (positions[3 * to + 2]! - startZ) - a[2];
  crossed[0] = x * along[0] + y * along[1] + z * along[2];
  crossed[1] = x * up[0] + y * up[1] + z * up[2];
  return d < 0 ? RISING : FALLING;
}

/** The triangle over the line's middle that lies nearest above it and faces it, or −1. */
function seedOf(mesh: BareMesh, near: Uint32Array, cut: Cut): number {
  let best = -1;
  let lowest = Infinity;
  const middle = cut.length / 2;
  for (const t of near) {
    // The outline leaves a triangle over its rising edge; a surface that faces the line runs one way over it.
    let leaveAlong = NaN;
    let leaveAbove = NaN;
    let enterAlong = NaN;
    let enterAbove = NaN;
    for (let h = 3 * t; h < 3 * t + 3; h++) {
      const way = crossing(mesh, cut, h);
      if (way === RISING) {
        leaveAlong = crossed[0]!;
        leaveAbove = crossed[1]!;
      } else if (way === FALLING) {
        enterAlong = crossed[0]!;
        enterAbove = crossed[1]!;
      }
    }
    const run = leaveAlong - enterAlong;
    if (!(run > 0) || (enterAlong - middle) * (leaveAlong - middle) > 0) continue;
    const above = enterAbove + ((middle - enterAlong) / run) * (leaveAbove - enterAbove);
    if (above > 0 && above < lowest) {
      lowest = above;
      best = t;
    }
  }
  return best;
}

interface Walked {
  readonly points: Flat[];
  readonly triangles: number[];
  readonly closed: boolean;
}

/** The outline from a triangle on, until it comes below the line or leaves the surface. */
function walk(mesh: BareMesh, cut: Cut, seed: number, ahead: boolean): Walked {
  const points: Flat[] = [];
  const triangles: number[] = [];
  let t = seed;
  for (let step = 0; step < LONGEST_WALK; step++) {
    triangles.push(t);
    const wanted = ahead ? RISING : FALLING;
    let h = 3 * t;
    while (h < 3 * t + 3 && crossing(mesh, cut, h) !== wanted) h++;
    if (h === 3 * t + 3) break;
    const at: Flat = [crossed[0]!, crossed[1]!];
    points.push(at);
    if (at[1] < 0) return { points, triangles, closed: true };
    const next = mesh.opposite[h]!;
    if (next < 0) return { points, triangles, closed: at[0] <= 0 || at[0] >= cut.length };
    t = Math.floor(next / 3);
    if (t === seed) break;
  }
  return { points, triangles, closed: false };
}

/** Signed area under the piece of outline from p to q that lies over the line. */
function clippedArea(p: Flat, q: Flat, width: number): number {
  let [from, to] = [0, 1];
  const cutAt = (start: number, end: number) => {
    // Keeps the part of the piece on which start + s·(end − start) is not negative.
    if (start < 0 && end < 0) to = -1;
    else if (start < 0) from = Math.max(from, start / (start - end));
    else if (end < 0) to = Math.min(to, start / (start - end));
  };
  cutAt(p[0], q[0]);
  cutAt(width - p[0], width - q[0]);
  cutAt(p[1], q[1]);
  if (to <= from) return 0;
  const run = (q[0] - p[0]) * (to - from);
  const above = (s: number) => p[1] + s * (q[1] - p[1]);
  return (run * (above(from) + above(to))) / 2;
}
