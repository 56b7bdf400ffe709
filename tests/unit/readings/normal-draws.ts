import { cos, ln, sin } from "#core/geometry/real";

/** Draws of the standard normal distribution from a stream of numbers in [0, 1), the same everywhere (Box & Muller 1958). */
export function normalFrom(random: () => number): () => number {
  let kept: number | null = null;
  return () => {
    if (kept !== null) {
      const value = kept;
      kept = null;
      return value;
    }
    const radius = Math.sqrt(-2 * ln(1 - random()));
    const angle = 2 * Math.PI * random();
    kept = radius * sin(angle);
    return radius * cos(angle);
  };
}

/** Mean and standard deviation of draws, gathered one by one. */
export class Spread {
  private n = 0;
  private average = 0;
  private squares = 0;

  add(value: number): void {
    this.n++;
    const d = value - this.average;
    this.average += d / this.n;
    this.squares += d * (value - this.average);
  }

  get mean(): number {
    return this.average;
  }

  get deviation(): number {
    return Math.sqrt(this.squares / (this.n - 1));
  }
}
