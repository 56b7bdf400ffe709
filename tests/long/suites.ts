import { intervalCoverage } from "./interval-coverage";
import { largeFiles } from "./large-files";
import type { LongSuite } from "./long-suite";
import { mutatedFiles } from "./mutated-files";
import { randomPoses } from "./random-poses";

/** All long suites. */
export const SUITES: readonly LongSuite[] = [mutatedFiles, largeFiles, randomPoses, intervalCoverage];
