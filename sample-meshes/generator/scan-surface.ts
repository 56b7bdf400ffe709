import { fromRotationVector, type RigidTransform } from "#core/geometry/rigid-transform";
import { addScaled, cross, dot, length, scale, subtract, type Vector3 } from "#core/geometry/vector";
import { type ArchField, dropOntoSurface } from "./arch-field";
import { decimated } from "./decimation";
import { borderVertices, keepTriangles, largestPart } from "./mesh-parts";
import type { Random } from "./random";
import { spatialNoise } from "./spatial-noise";
import { type SurfaceMesh, surfaceNets } from "./surface-nets";

/** Where a scan ends: wavy borders in the vestibule and behind the last molars, others on every scan. */
export class ScanBorder {
  private readonly seed: number;
  private readonly vestibule: number;
  private readonly back: number;

  /** `backY`: about where the scan ends at the back (mm, model frame); `innerHeight`: where a lower arch ends on the tongue's side. */
  constructor(
    backY: number,
    private readonly innerHeight: number | null,
    random: Random,
  ) {
    this.seed = Math.floor(random.uniform() * 65536);
    this.vestibule = random.between(5.6, 6.8);
    this.back = backY + random.between(-0.8, 0.8);
  }

  /** Positive outside the scan, about mm; x, y, z before treatment. */
  beyond(field: ArchField, x: number, y: number, z: number): number {
    const wave = (s: number, row: number) =>
      1.6 * spatialNoise(s * 0.11, row, 0.5, this.seed) + 0.5 * spatialNoise(s * 0.4, row, 0.5, this.seed);
    let beyond = y - this.back - wave(x, 9.5);
    const offset = field.gum.buccalOffset(x, y);
    if (offset > -4) {
      const s = field.gum.along(x, y) * (x < 0 ? -1 : 1);
      beyond = Math.max(beyond, field.gum.aboveCrest(x, y, z) - this.vestibule - wave(s, 2.5));
    } else if (this.innerHeight !== null) {
      beyond = Math.max(
        beyond,
        field.gum.aboveCrest(x, y, z) - this.innerHeight - wave(field.gum.along(x, y) * (x < 0 ? -1 : 1), 5.5),
      );
    }
    return beyond;
  }
}

/** How the surface becomes triangles. */
export interface Sampling {
  /** About how many triangles the scan shall have. */
  readonly triangles: number;
  /** The part of space the arch lies in: lowest and highest corner, mm, model frame. */
  readonly low: readonly [number, number, number];
  readonly high: readonly [number, number, number];
}

/** A scan's surface without noise: nets on a turned grid, cut at the border, thinned, and put back onto the field. */
export function scanSurface(field: ArchField, border: ScanBorder, sampling: Sampling, random: Random): SurfaceMesh {
  // An arch has about 7500 mm² and nets give about three triangles per squared spacing; thinning takes 5 in 7 away.
  const spacing = Math.sqrt((7500 * 3) / (sampling.triangles * 3.2));
  const turn = fromRotationVector(scale(random.direction(), random.between(0.25, 0.6)));
  const beyondAt = (x: number, y: number, z: number) => {
    const was = field.untreated(x, y, z);
    return border.beyond(field, was[0]!, was[1]!, was[2]!);
  };
  const { low, high } = sampling;
  const grid = { spacing, toModel: turn, ...turnedBox(turn, low, high, random) };
  const inBox = (x: number, y: number, z: number, reach: number) =>
    x > low[0] - reach &&
    x < high[0] + reach &&
    y > low[1] - reach &&
    y < high[1] + reach &&
    z > low[2] - reach &&
    z < high[2] + reach;
  const nets = surfaceNets(field, grid, (x, y, z, reach) => inBox(x, y, z, reach) && beyondAt(x, y, z) < 2 * reach + 1);
  const gradient = new Float64Array(3);
  for (let v = 0; v < nets.positions.length; v += 3) dropOntoSurface(field, nets.positions, v, 2, gradient);
  const p = nets.positions;
  const outside = new Uint8Array(p.length / 3);
  for (let v = 0; v < outside.length; v++) outside[v] = beyondAt(p[v * 3]!, p[v * 3 + 1]!, p[v * 3 + 2]!) > 0 ? 1 : 0;
  const cut = largestPart(
    keepTriangles(nets, (t) => {
      const n = nets.triangles;
      return outside[n[t * 3]!]! + outside[n[t * 3 + 1]!]! + outside[n[t * 3 + 2]!]! === 0;
    }),
  );
  const whole = withoutEars(cut);
  relax(whole, field, 0.5);
  const thin = decimated(whole, sampling.triangles);
  relax(thin, field, 0.3);
  trimBorder(thin, field, beyondAt, spacing);
  return keepTriangles(thin, (t) => area(thin, t) > 1e-3 * spacing * spacing);
}

/** The mesh without triangles that hang on by one edge only. */
function withoutEars(mesh: SurfaceMesh): SurfaceMesh {
  let now = mesh;
  for (;;) {
    const uses = new Uint8Array(now.positions.length / 3);
    for (const v of now.triangles) uses[v] = Math.min(uses[v]! + 1, 2);
    const n = now.triangles;
    const next = keepTriangles(now, (t) => uses[n[t * 3]!]! + uses[n[t * 3 + 1]!]! + uses[n[t * 3 + 2]!]! === 6);
    if (next.triangles.length === n.length) return now;
    now = next;
  }
}

function area(mesh: SurfaceMesh, t: number): number {
  const [a, b, c] = [0, 1, 2].map((i): Vector3 => {
    const v = mesh.triangles[t * 3 + i]! * 3;
    return [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!];
  }) as [Vector3, Vector3, Vector3];
  return length(cross(subtract(b, a), subtract(c, a))) / 2;
}

/** Moves the outermost vertices along the surface onto the border, at most about one grid step. */
function trimBorder(
  mesh: SurfaceMesh,
  field: ArchField,
  beyondAt: (x: number, y: number, z: number) => number,
  spacing: number,
): void {
  const p = mesh.positions;
  const border = borderVertices(mesh);
  const gradient = new Float64Array(3);
  const e = 0.05;
  for (let v = 0; v < border.length; v++) {
    if (border[v] === 0) continue;
    const k = v * 3;
    let travelled = 0;
    for (let round = 0; round < 4 && travelled < 1.2 * spacing; round++) {
      if (!dropOntoSurface(field, p, k, 2, gradient)) break;
      const [x, y, z] = [p[k]!, p[k + 1]!, p[k + 2]!];
      const b = beyondAt(x, y, z);
      let slope: Vector3 = [
        (beyondAt(x + e, y, z) - beyondAt(x - e, y, z)) / (2 * e),
        (beyondAt(x, y + e, z) - beyondAt(x, y - e, z)) / (2 * e),
        (beyondAt(x, y, z + e) - beyondAt(x, y, z - e)) / (2 * e),
      ];
      const normal: Vector3 = [gradient[0]!, gradient[1]!, gradient[2]!];
      slope = addScaled(slope, normal, -dot(slope, normal));
      const s2 = dot(slope, slope);
      if (s2 < 0.05) break;
      const step = Math.min(Math.max(-b / s2, -spacing), spacing);
      for (let i = 0; i < 3; i++) p[k + i] = p[k + i]! + step * slope[i]!;
      travelled += Math.abs(step) * Math.sqrt(s2);
    }
    dropOntoSurface(field, p, k, 3, gradient);
  }
}

/** The box that holds the turned model box, in the grid's axes, with an arbitrary offset. */
function turnedBox(turn: RigidTransform, low: readonly number[], high: readonly number[], random: Random) {
  const least = [0, 0, 0].map(() => Number.POSITIVE_INFINITY);
  const most = [0, 0, 0].map(() => Number.NEGATIVE_INFINITY);
  const r = turn.rotation;
  for (let c = 0; c < 8; c++) {
    const p = [0, 1, 2].map((i) => ((c >> i) & 1 ? high[i]! : low[i]!));
    for (let i = 0; i < 3; i++) {
      const q = r[i]! * p[0]! + r[3 + i]! * p[1]! + r[6 + i]! * p[2]!;
      least[i] = Math.min(least[i]!, q);
      most[i] = Math.max(most[i]!, q);
    }
  }
  const corner = least.map((v) => v - random.between(0.1, 1)) as [number, number, number];
  const size = most.map((v, i) => v - corner[i]!) as [number, number, number];
  return { corner, size };
}

/** One pass that moves each vertex half way to its neighbours' mean along the surface, then back onto the field. */
function relax(mesh: SurfaceMesh, field: ArchField, share: number): void {
  const { positions: p, triangles } = mesh;
  const border = borderVertices(mesh);
  const sums = new Float64Array(p.length);
  const counts = new Uint16Array(p.length / 3);
  for (let t = 0; t < triangles.length; t += 3) {
    for (let c = 0; c < 3; c++) {
      const a = triangles[t + c]!;
      for (const b of [triangles[t + ((c + 1) % 3)]!, triangles[t + ((c + 2) % 3)]!]) {
        for (let i = 0; i < 3; i++) sums[a * 3 + i] = sums[a * 3 + i]! + p[b * 3 + i]!;
        counts[a] = counts[a]! + 1;
      }
    }
  }
  const gradient = new Float64Array(3);
  for (let v = 0; v < counts.length; v++) {
    if (!dropOntoSurface(field, p, v * 3, 2, gradient) || border[v] || counts[v] === 0) continue;
    const n = counts[v]!;
    const d = [0, 1, 2].map((i) => sums[v * 3 + i]! / n - p[v * 3 + i]!) as [number, number, number];
    const along = d[0] * gradient[0]! + d[1] * gradient[1]! + d[2] * gradient[2]!;
    for (let i = 0; i < 3; i++) p[v * 3 + i] = p[v * 3 + i]! + share * (d[i]! - along * gradient[i]!);
    dropOntoSurface(field, p, v * 3, 2, gradient);
  }
}
