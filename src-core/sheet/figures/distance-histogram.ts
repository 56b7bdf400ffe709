import type { DistanceSummary } from "../../readings/readings-document";
import { type Figure, type Primitive, rectanglePath } from "../figure";
import { signedMillimetres } from "../format";

/** Height of the largest class, points. */
const TALLEST = 16;

/**
 * How often each distance occurs, over the scale of the distance map.
 * @param left, room where the scale begins and how wide it is, points
 */
export function distanceHistogram(
  { limit, counts, below, above }: DistanceSummary["histogram"],
  width: number,
  left: number,
  room: number,
): Figure {
  const most = Math.max(1, ...counts);
  const step = room / counts.length;
  const all = counts.reduce((sum, count) => sum + count, below + above);
  const primitives = counts.flatMap((count, i): Primitive[] => {
    const height = (TALLEST * count) / most;
    if (height < 0.1) return [];
    const path = rectanglePath(left + i * step + 0.3, TALLEST - height, step - 0.6, height);
    return [{ kind: "path", path, fill: "quiet" }];
  });
  const beyond = all === 0 ? 0 : (100 * (below + above)) / all;
  return {
    width,
    height: TALLEST + 1,
    description: `How often each distance between ${signedMillimetres(-limit)} and ${signedMillimetres(limit)} occurs; ${beyond.toFixed(0)} % lie beyond.`,
    primitives,
  };
}
