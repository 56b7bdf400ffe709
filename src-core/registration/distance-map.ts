import { RapheError } from "../errors";
import type { RigidTransform } from "../geometry/rigid-transform";
import { checkCancelled, type JobControl, UNWATCHED } from "../job-control";
import { newClosestPoint } from "../mesh/closest-point";
import { type SignedSurface, signedDistance } from "../mesh/signed-distance";
import type { Surface } from "../mesh/surface";
import { vertexCount } from "../mesh/triangle-mesh";
import { quantileOfSorted } from "./quantile";
import { MEDIAN_TO_SD } from "./robust-weights";

/** Signed distances of one scan from another. */
export interface DistanceMap {
  /** Per vertex of the later scan, mm, positive where it lies outside the earlier surface; NaN = no value. */
  readonly distances: Float64Array;
  /** Per vertex the triangle of the earlier scan that its distance was taken from; −1 without a value. */
  readonly feet: Int32Array;
  readonly summary: DistanceMapSummary;
}

/** Distances in a few numbers, mm. */
export interface DistanceFigures {
  readonly mean: number;
  /** Root mean square. */
  readonly rms: number;
  readonly percentile5: number;
  readonly percentile95: number;
  /** 1.4826 · median of |d − median|: the standard deviation where distances are normal, whatever a few others are. */
  readonly robustScale: number;
}

/** What a distance map says in a few numbers. */
export interface DistanceMapSummary extends DistanceFigures {
  /** Share of the later scan's vertices that have a value. */
  readonly valued: number;
}

/** What lies farther away is another part of the mouth, mm. */
const FARTHEST = 10;
const POLL_EVERY = 2000;

/**
 * Signed distance of every vertex of the later scan, laid on the earlier one, from the earlier surface; without value
 * where the foot lies on an open border or is masked, the surfaces face apart by more than 60 degrees, or nothing is
 * within 10 mm. Masked vertices have no value and are not counted in the summary.
 * @param transform later → earlier file coordinates, mm
 * @param region per vertex of the later scan, 0 = leave out (NaN, and not counted in the summary)
 * @throws RapheError `not-computable` if no vertex has a value, `cancelled`
 */
export function distanceMap(
  later: Surface,
  earlier: SignedSurface,
  transform: RigidTransform,
  region?: Uint8Array,
  job: JobControl = UNWATCHED,
): DistanceMap {
  const [a, b, c, d, e, f, g, h, i] = transform.rotation;
  const [tx, ty, tz] = transform.translation;
  const { positions } = later.mesh;
  const { normals, masked } = later;
  const vertices = vertexCount(later.mesh);
  const distances = new Float64Array(vertices).fill(Number.NaN);
  const feet = new Int32Array(vertices).fill(-1);
  const foot = newClosestPoint();
  let asked = 0;
  for (let v = 0; v < vertices; v++) {
    if (v % POLL_EVERY === 0) {
      checkCancelled(job);
      job.progress(v / vertices);
    }
    if ((region !== undefined && !region[v]!) || masked?.vertices[v] === 1) continue;
    asked++;
    const x = positions[3 * v]!;
    const y = positions[3 * v + 1]!;
    const z = positions[3 * v + 2]!;
    const nx = normals[3 * v]!;
    const ny = normals[3 * v + 1]!;
    const nz = normals[3 * v + 2]!;
    // A vertex without a normal belongs to no surface that could be compared.
    if (nx === 0 && ny === 0 && nz === 0) continue;
    distances[v] = signedDistance(
      earlier,
      a * x + b * y + c * z + tx,
      d * x + e * y + f * z + ty,
      g * x + h * y + i * z + tz,
      a * nx + b * ny + c * nz,
      d * nx + e * ny + f * nz,
      g * nx + h * ny + i * nz,
      foot,
      FARTHEST,
    );
    if (!Number.isNaN(distances[v]!)) feet[v] = foot.triangle;
  }
  job.progress(1);
  const figures = figuresOf(distances);
  if (figures === null) {
    throw new RapheError({
      code: "not-computable",
      subject: "distance map",
      problem: "no point of the later scan lies over the earlier one",
      remedy: "Check the registration: the two scans do not lie on each other",
    });
  }
  const valued = feet.reduce((count, triangle) => count + (triangle < 0 ? 0 : 1), 0);
  return { distances, feet, summary: { ...figures, valued: valued / asked } };
}

/** The figures of the distances that have a value; null where none has. */
export function figuresOf(distances: Float64Array): DistanceFigures | null {
  const sorted = distances.filter((d) => !Number.isNaN(d)).sort();
  if (sorted.length === 0) return null;
  let sum = 0;
  let squares = 0;
  for (const d of sorted) {
    sum += d;
    squares += d * d;
  }
  const median = quantileOfSorted(sorted, 0.5);
  const apart = sorted.map((d) => Math.abs(d - median));
  return {
    mean: sum / sorted.length,
    rms: Math.sqrt(squares / sorted.length),
    percentile5: quantileOfSorted(sorted, 0.05),
    percentile95: quantileOfSorted(sorted, 0.95),
    robustScale: MEDIAN_TO_SD * quantileOfSorted(apart.sort(), 0.5),
  };
}

/** Counts of distances in equal classes. */
export interface Histogram {
  /** Borders of the classes, ascending, one more than counts, mm. */
  readonly edges: readonly number[];
  readonly counts: readonly number[];
  /** Values below the first and above the last border. */
  readonly below: number;
  readonly above: number;
}

/**
 * Histogram of the distances that have a value.
 * @param limit the classes reach from −limit to +limit, mm
 * @param classes how many
 */
export function histogram(distances: Float64Array, limit: number, classes: number): Histogram {
  const counts = new Array<number>(classes).fill(0);
  let below = 0;
  let above = 0;
  for (const d of distances) {
    if (d < -limit) below++;
    else if (d > limit) above++;
    else if (!Number.isNaN(d)) counts[Math.min(classes - 1, Math.floor(((d + limit) / (2 * limit)) * classes))]!++;
  }
  return {
    edges: Array.from({ length: classes + 1 }, (_, k) => -limit + (2 * limit * k) / classes),
    counts,
    below,
    above,
  };
}
