import { type Place, placeFits } from "#core/arch/landmark";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import type { Vector3 } from "#core/geometry/vector";
import type { PointSet } from "#core/readings/width";

/** An invented arch in its own frame: half widths and stations (mm) of the pairs, cusp tips on the occlusal plane. */
const CUSPS: readonly [right: number, left: number, place: Place, half: number, station: number][] = [
  [13, 23, "cusp-tip", 17, 0],
  [14, 24, "buccal-cusp-tip", 21, 7],
  [15, 25, "buccal-cusp-tip", 23.5, 14],
  [16, 26, "mesiobuccal-cusp-tip", 25.5, 22],
  [17, 27, "mesiobuccal-cusp-tip", 27.5, 32],
];

/** Figures of a simulated scan: no error anywhere but what a test adds. */
export const SIMULATED = { ...DEFAULT_SETTINGS, pointWidth: 0, scanner: { atCanines: 0, atMolars: 0, local: 0 } };

/**
 * The points of one scan of the invented arch.
 * @param widening of each pair by its station, mm, at cusp and gingival level
 */
export function inventedPoints(
  timepoint: string,
  widening: (station: number, level: "cusp" | "gingival") => number,
  teeth: (tooth: number) => boolean = () => true,
): PointSet {
  const points = CUSPS.flatMap(([right, left, place, half, station]) =>
    ([right, left] as const).flatMap((tooth, side) => {
      if (!teeth(tooth)) return [];
      const sign = side === 0 ? -1 : 1;
      const cusp: Vector3 = [sign * (half + widening(station, "cusp") / 2), station, 0];
      const gingival: Vector3 = [sign * (half - 5 + widening(station, "gingival") / 2), station, 7];
      const spot = (at: Vector3, where: Place) => ({ tooth, place: where, at, inFrame: at });
      return placeFits(tooth, place) ? [spot(cusp, place), spot(gingival, "palatal-gingival")] : [];
    }),
  );
  return { timepoint, points, faults: [] };
}
