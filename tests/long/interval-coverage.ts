import { FAN, PARALLEL } from "../../sample-meshes/generator/sample-sets";
import { SimulatedPair } from "../unit/coverage/simulated-pair";
import { addTo, coverageLine, coverageOf, joined, type Tally } from "../unit/coverage/tally";
import type { LongSuite } from "./long-suite";

const UNITS = 20;
const RUNS = 100;
const FIRST_SEED = 81_000;
/** A right 95 % interval holds the truth in 95 % of 2,000 runs to within three of its own standard errors. */
const LEAST = 0.935;
const MOST = 0.968;

/**
 * 2,000 times both scans of an arch drawn anew with the errors that the uncertainties assume, on twenty arches, ten opened
 * like a fan and ten in parallel, and measured by the whole job: how often the 95 % intervals hold the truth.
 */
export const intervalCoverage: LongSuite = {
  name: "interval-coverage",
  units: UNITS,
  longest: 30 * 60_000,
  async run(unit) {
    const { arch, treatment } = unit % 2 === 0 ? FAN : PARALLEL;
    const seed = FIRST_SEED + RUNS * unit;
    const pair = await SimulatedPair.made({ seed, arch: arch!, treatment: treatment! });
    const tally: Tally = {};
    for (let run = 0; run < RUNS; run++) addTo(tally, await pair.deviations(seed + run));
    return { passed: 0, failures: [], line: `${RUNS} runs from seed ${seed}`, figures: tally };
  },
  conclude(figures) {
    const coverages = coverageOf(joined(figures as Tally[]));
    const isRight = ({ share }: { share: number }) => share >= LEAST && share <= MOST;
    return {
      passed: coverages.filter(isRight).length,
      failures: coverages.filter((coverage) => !isRight(coverage)).map(coverageLine),
      line: ["coverage of the 95 % intervals:", ...coverages.map(coverageLine)].join("\n  "),
    };
  },
};
