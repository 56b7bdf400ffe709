import type { SamplePairOptions } from "./sample-pair";
import { LONG_ARCH, NARROW_ARCH } from "./upper-arch";

/** The fan-shaped sample: wider in front, with a scan in retention that lost some of it. */
export const FAN: SamplePairOptions = {
  seed: 20260303,
  arch: NARROW_ARCH,
  treatment: {
    openingAngle: 8.2,
    shift: 1.65,
    hingeLevelY: 29,
    roll: 1,
    rightShare: 0.47,
    tipping: [0, 0.5, 2.6, 2.6, 2.5, 2.8, 2.5],
    pivotBelowNeck: 2.5,
  },
  retention: { halves: 0.83, teeth: 0.75 },
  triangles: { before: 96_000, after: 116_000, "in-retention": 112_000 },
  files: { before: "before.stl", after: "after.ply", "in-retention": "in-retention.ply" },
};

/** The parallel sample: another arch, widened by the same amount in front and behind. */
export const PARALLEL: SamplePairOptions = {
  seed: 20260417,
  arch: LONG_ARCH,
  treatment: {
    openingAngle: 0,
    shift: 4.4,
    hingeLevelY: 29,
    roll: 0.3,
    rightShare: 0.52,
    tipping: [0, 0, 0.2, 0.2, 0.2, 0.2, 0.2],
    pivotBelowNeck: 2.5,
  },
  triangles: { before: 100_000, after: 120_000 },
  files: { before: "before.stl", after: "after.ply" },
};

/** About how many triangles the lower arch has. */
export const LOWER_TRIANGLES = 60_000;
