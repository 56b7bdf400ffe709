import type { ToothPair } from "../arch/teeth";
import type { PointSet } from "./width";

/**
 * Where a pair that is not there would stand along the arch: midway between the neighbours of each side, mm in the arch
 * frame (y), by their points of any place. Both neighbours of a side are needed: nothing is extrapolated, since a crown's
 * length is more than the 5 mm that a line may be continued.
 * @returns null where no side has both neighbours
 */
export function stationFromNeighbours(
  set: PointSet,
  { right, left }: Pick<ToothPair, "right" | "left">,
): number | null {
  const sides = [right, left].flatMap((tooth) => {
    const [before, behind] = [middleOf(set, tooth - 1), middleOf(set, tooth + 1)];
    return before === null || behind === null ? [] : [(before + behind) / 2];
  });
  return sides.length === 0 ? null : sides.reduce((a, b) => a + b, 0) / sides.length;
}

/** Mean y of a tooth's points. */
function middleOf(set: PointSet, tooth: number): number | null {
  const ys = set.points.flatMap((point) => (point.tooth === tooth && point.inFrame !== null ? [point.inFrame[1]] : []));
  return ys.length === 0 ? null : ys.reduce((a, b) => a + b, 0) / ys.length;
}
