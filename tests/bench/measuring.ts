import { SampleCase } from "../unit/jobs/sample-case";
import type { BenchRow } from "./bench-row";
import { medianTime } from "./median";

/** The whole job `measure` on the fan-shaped sample: landmarks, both halves, every crown, readings, distance map. */
export async function benchMeasuring(): Promise<BenchRow[]> {
  const sample = new SampleCase("fan");
  await sample.open("before");
  await sample.open("after");
  const { readings } = sample.measure("before", "after");
  const crowns = readings.crowns.filter(({ motion }) => motion.state === "given").length;
  const triangles = readings.scans.reduce((sum, scan) => sum + scan.triangles, 0);
  const milliseconds = medianTime(() => sample.measure("before", "after"));
  return [
    {
      task: `the whole measurement of the fan-shaped sample, ${triangles} triangles: halves ${readings.halves.state}, ${crowns} crowns`,
      milliseconds,
    },
  ];
}
