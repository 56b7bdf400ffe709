import { expect, test } from "vitest";
import { FAN } from "../../../sample-meshes/generator/sample-sets";
import { SimulatedPair } from "./simulated-pair";
import { addTo, coverageLine, coverageOf, type Tally } from "./tally";

/**
 * 200 times both scans of one arch are drawn anew with the errors that the uncertainties assume (scanner, hand, noise) and
 * measured by the whole job; the long suite does it 2,000 times on twenty arches.
 */
const RUNS = 200;
const SEED = 71_000;

test(
  "the uncertainties are of the size of the errors: mean z² between 0.7 and 1.3 for every quantity",
  async () => {
    const pair = await SimulatedPair.made({ seed: FAN.seed, arch: FAN.arch!, treatment: FAN.treatment! });
    const tally: Tally = {};
    for (let run = 0; run < RUNS; run++) addTo(tally, await pair.deviations(SEED + run));
    for (const coverage of coverageOf(tally)) {
      expect(coverage.count, coverageLine(coverage)).toBeGreaterThan(0.4 * RUNS);
      expect(coverage.meanSquare, coverageLine(coverage)).toBeGreaterThan(0.7);
      expect(coverage.meanSquare, coverageLine(coverage)).toBeLessThan(1.3);
      expect(Math.abs(coverage.mean), coverageLine(coverage)).toBeLessThan(0.4);
    }
  },
  20 * 60_000,
);
