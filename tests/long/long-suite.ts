/** What one unit of a long suite found. */
export interface UnitOutcome {
  readonly passed: number;
  /** One sentence for each failure. */
  readonly failures: readonly string[];
  /** One line about it, with its seed where it has one. */
  readonly line: string;
  /** What the suite's conclusion is drawn from, as JSON can hold it. */
  readonly figures?: unknown;
}

/** A test that takes too long for `npm test`, cut into units that stand alone. */
export interface LongSuite {
  readonly name: string;
  readonly units: number;
  /** A unit that takes longer than this hangs and is ended, ms. */
  readonly longest: number;
  /** Runs unit `unit`, 0 to `units` − 1, in a process of its own; the same unit does the same every time. */
  run(unit: number): Promise<UnitOutcome>;
  /** What all units say together, from their figures; drawn by the shard that finds every unit done. */
  conclude?(figures: readonly unknown[]): UnitOutcome;
}
