import { archFrame, commonPlanePairs, inFrame } from "#core/arch/arch-frame";
import type { Landmark } from "#core/arch/landmark";
import type { PointSet } from "#core/readings/width";

/** Papilla and raphe of the invented arch, mm in its frame. */
const MEDIAN: readonly Landmark[] = [
  { place: "incisive-papilla", at: [0, -6, 5] },
  { place: "median-raphe", at: [0, 2, 9] },
  { place: "median-raphe", at: [0, 14, 14] },
  { place: "median-raphe", at: [0, 26, 16] },
];

/** The landmarks of a scan of the invented arch, with papilla and raphe. */
export const landmarksOf = (set: PointSet): Landmark[] => [
  ...set.points.map(({ tooth, place, at }): Landmark => ({ tooth: tooth!, place, at: [...at] })),
  ...MEDIAN,
];

/** Two scans' landmarks as readings take them: each scan's arch frame from its own landmarks, on the same pairs. */
export function placedScans(scans: readonly [readonly Landmark[], readonly Landmark[]]): [PointSet, PointSet] {
  const pairs = commonPlanePairs(scans);
  const [first, second] = scans.map((marks, i): PointSet => {
    const timepoint = ["before", "after"][i]!;
    const frame = archFrame(marks, pairs, timepoint);
    return {
      timepoint,
      faults: [],
      points: marks.map(({ tooth, place, at }) => ({ tooth: tooth ?? null, place, at, inFrame: inFrame(frame, at) })),
    };
  });
  return [first!, second!];
}
