import { mutationLine, runMutations } from "../unit/scan/mutation-run";
import type { LongSuite } from "./long-suite";

const FILES_PER_UNIT = 1000;
const FIRST_SEED = 61_000;

/** 50,000 mutated scan files, a thousand from each seed: a sound mesh or a typed error, within the bound of memory. */
export const mutatedFiles: LongSuite = {
  name: "mutated-files",
  units: 50,
  longest: 5 * 60_000,
  async run(unit) {
    const seed = FIRST_SEED + unit;
    const run = await runMutations(seed, FILES_PER_UNIT);
    return {
      passed: FILES_PER_UNIT - run.faults.length,
      failures: run.faults,
      line: mutationLine(seed, FILES_PER_UNIT, run),
    };
  },
};
