const STEPS = 400;

/** A smooth curve y(x) through given points: monotone cubic (Fritsch & Carlson 1980), constant beyond the ends. */
export class Profile {
  private readonly from: number;
  private readonly perUnit: number;
  private readonly table: Float64Array;

  /** `points`: pairs x, y with rising x, at least two. */
  constructor(points: readonly (readonly [number, number])[]) {
    const n = points.length;
    const slope = (i: number) => (points[i + 1]![1] - points[i]![1]) / (points[i + 1]![0] - points[i]![0]);
    const tangents = points.map((_, i) => {
      if (i === 0) return slope(0);
      if (i === n - 1) return slope(n - 2);
      const a = slope(i - 1);
      const b = slope(i);
      return a * b <= 0 ? 0 : (2 * a * b) / (a + b);
    });
    this.from = points[0]![0];
    const to = points[n - 1]![0];
    this.perUnit = STEPS / (to - this.from);
    this.table = new Float64Array(STEPS + 1);
    let k = 0;
    for (let i = 0; i <= STEPS; i++) {
      const x = this.from + i / this.perUnit;
      while (k < n - 2 && x > points[k + 1]![0]) k++;
      const [x0, y0] = points[k]!;
      const [x1, y1] = points[k + 1]!;
      const h = x1 - x0;
      const t = (x - x0) / h;
      this.table[i] =
        y0 * (1 + 2 * t) * (1 - t) * (1 - t) +
        tangents[k]! * h * t * (1 - t) * (1 - t) +
        y1 * t * t * (3 - 2 * t) +
        tangents[k + 1]! * h * t * t * (t - 1);
    }
  }

  at(x: number): number {
    const s = (x - this.from) * this.perUnit;
    if (s <= 0) return this.table[0]!;
    if (s >= STEPS) return this.table[STEPS]!;
    const i = Math.floor(s);
    const f = s - i;
    return this.table[i]! * (1 - f) + this.table[i + 1]! * f;
  }
}
