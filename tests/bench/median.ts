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
  return middleOf(times);
}

/** The same for work that is waited for. */
export async function medianTimeAwaited(work: () => unknown): Promise<number> {
  await work();
  const times: number[] = [];
  for (let run = 0; run < RUNS; run++) {
    const start = performance.now();
    await work();
    times.push(performance.now() - start);
  }
  return middleOf(times);
}

const middleOf = (times: readonly number[]): number => times.toSorted((a, b) => a - b)[Math.floor(RUNS / 2)]!;
