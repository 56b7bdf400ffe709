/** One line of `npm run bench`: what was done, how long it took, and what it is held against in the same run. */
export interface BenchRow {
  readonly task: string;
  /** Median of several runs after a first one that does not count. */
  readonly milliseconds: number;
  /** What was worked through, per second. */
  readonly perSecond?: { readonly count: number; readonly unit: string };
  /** The same work done by another library in the same run. */
  readonly against?: { readonly name: string; readonly milliseconds: number };
}
