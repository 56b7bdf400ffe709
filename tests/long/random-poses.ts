import { makeSamplePair } from "../../sample-meshes/generator/sample-pair";
import { NO_TREATMENT } from "../../sample-meshes/generator/treatment";
import { LONG_ARCH, NARROW_ARCH } from "../../sample-meshes/generator/upper-arch";
import { coarseErrors, drawnPose, FARTHEST_START, posedSurface, scansOf } from "../unit/registration/posed-pairs";
import { refinedHalves } from "../unit/registration/refined-halves";
import type { LongSuite } from "./long-suite";

const POSES_PER_UNIT = 10;
const FIRST_SEED = 8100;
const EXTENTS = [
  ["whole", "whole"],
  ["teeth", "teeth"],
  ["whole", "teeth"],
  ["teeth", "whole"],
] as const;

/**
 * 200 random poses, ten of each of twenty invented patients, of 10,000 and 20,000 triangles, two arch forms, fan-shaped
 * and parallel openings; each pose with and without palate and with the palate on one scan only. No other position may
 * rival, and either one side is met within 0.5 mm and the other within the opening, or, where the start lies between both
 * sides, the whole measurement from it ends with each half within 0.15 mm.
 */
export const randomPoses: LongSuite = {
  name: "random-poses",
  units: 20,
  longest: 20 * 60_000,
  async run(unit) {
    const seed = FIRST_SEED + unit;
    const fan = unit % 4 < 2;
    const pair = makeSamplePair({
      seed,
      arch: unit % 2 === 0 ? NARROW_ARCH : LONG_ARCH,
      treatment: { ...NO_TREATMENT, openingAngle: fan ? 6 : 0, shift: fan ? 2.4 : 4.4, hingeLevelY: 29, roll: 1 },
      triangles: unit % 3 === 0 ? 10_000 : 20_000,
    });
    const scans = { before: scansOf(pair, "before"), after: scansOf(pair, "after") };
    const failures: string[] = [];
    let passed = 0;
    let least = Infinity;
    for (let i = 0; i < POSES_PER_UNIT; i++) {
      const [p, q] = [drawnPose(1000 * seed + 2 * i), drawnPose(1000 * seed + 2 * i + 1)];
      for (const [from, to] of EXTENTS) {
        const name = `seed ${seed}, pose ${i}, ${from} on ${to}`;
        try {
          const [moving, fixed] = [posedSurface(scans.before[from], p), posedSurface(scans.after[to], q)];
          const { right, left, lead } = coarseErrors(pair, moving, fixed, p, q);
          least = Math.min(least, lead);
          const onOneSide = Math.min(right, left) < 0.5 && Math.max(right, left) < FARTHEST_START;
          const met = onOneSide || (await endsRight(pair, [scans.before[from], scans.after[to]], [p, q]));
          if (met && lead > 1.2) passed++;
          else failures.push(`${name}: off by ${right.toFixed(2)} and ${left.toFixed(2)} mm, lead ${lead.toFixed(2)}`);
        } catch (thrown) {
          failures.push(`${name}: ${thrown instanceof Error ? thrown.message : thrown}`);
        }
      }
    }
    return { passed, failures, line: `seed ${seed}: ${passed} right, smallest lead ${least.toFixed(2)}` };
  },
};

async function endsRight(...given: Parameters<typeof refinedHalves>): Promise<boolean> {
  const { right, left } = await refinedHalves(...given);
  return Math.max(right ?? Infinity, left ?? Infinity) < 0.15;
}
