import type { RigidTransform } from "../geometry/rigid-transform";
import type { JobControl } from "../job-control";
import { touchedVertices } from "../mesh/painted-triangles";
import type { DistanceSummary } from "../readings/readings-document";
import { distanceMap, figuresOf, histogram } from "../registration/distance-map";
import { scaleLimit } from "../sheet/picture/colour-map";
import type { KeptScan } from "./scan-store";
import type { SpanScan } from "./span-end";

/** A scan that is there, with what is painted on it and its timepoint's name. */
export interface DistanceEnd extends SpanScan {
  readonly scan: KeptScan;
  readonly name: string;
}

/** Classes of the histogram. */
const CLASSES = 24;

/**
 * Signed distances of the later scan to the earlier one, all of them and in figures: over the whole surface, and over
 * the reference that was painted on the later scan, else on the earlier one (what of the later lies over it).
 * @param overlay later → earlier file coordinates, mm
 * @param registration what the two were laid over each other by
 * @throws RapheError `not-computable`, `cancelled`
 */
export function measuredDistances(
  first: DistanceEnd,
  second: DistanceEnd,
  overlay: RigidTransform,
  registration: DistanceSummary["registration"],
  job: JobControl,
): { distances: Float64Array; summary: DistanceSummary } {
  const { surface } = second.scan;
  const { distances, feet, summary } = distanceMap(surface, first.scan.registration(), overlay, undefined, job);
  const limit = scaleLimit(summary.percentile5, summary.percentile95);
  const { counts, below, above } = histogram(distances, limit, CLASSES);
  const within = areaOf(first, second, feet);
  const figures = within === null ? null : figuresOf(distances.filter((_, v) => within.contains(v)));
  return {
    distances,
    summary: {
      registration,
      ...summary,
      histogram: { limit, counts: [...counts], below, above },
      painted: within === null || figures === null ? null : { on: within.name, ...figures },
    },
  };
}

/** Which vertices of the later scan belong to the painted area; null where none is painted. */
function areaOf(first: DistanceEnd, second: DistanceEnd, feet: Int32Array) {
  if (second.reference !== null) {
    const touched = touchedVertices(second.scan.surface.mesh, second.reference);
    return { name: second.name, contains: (v: number) => touched[v] === 1 };
  }
  const { reference } = first;
  if (reference === null) return null;
  return { name: first.name, contains: (v: number) => feet[v]! >= 0 && reference[feet[v]!] === 1 };
}
