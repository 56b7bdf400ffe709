const RUNS = 5;

/** Median time of some work in milliseconds; its first run warms up and is not counted. */
export function medianTime(work: () => unknown): number {
  work();
  const times: number[] = [];
  for (let run = 0; run < RUNS; run++) {
    const start = performance.now();
    work();
    times.push(performance.now() - start);
  }
  return times.toSorted((a, b) => a - b)[Math.floor(RUNS / 2)]!;
}
