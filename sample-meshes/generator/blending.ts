/** Cubic smooth minimum: equals min(a, b) where they differ by more than k (mm), else lies up to k/6 below it. */
export function smoothMinimum(a: number, b: number, k: number): number {
  const d = a < b ? b - a : a - b;
  const least = Math.min(a, b);
  if (d >= k) return least;
  const h = 1 - d / k;
  return least - (h * h * h * k) / 6;
}

/** Cubic smooth maximum, the mirror image of `smoothMinimum`. */
export function smoothMaximum(a: number, b: number, k: number): number {
  const d = a < b ? b - a : a - b;
  const most = Math.max(a, b);
  if (d >= k) return most;
  const h = 1 - d / k;
  return most + (h * h * h * k) / 6;
}

/** A smooth hump: 1 at x = 0, falling to 0 at |x| = 1 and beyond. */
export function bump(x: number): number {
  const y = 1 - x * x;
  return y <= 0 ? 0 : y * y;
}

/** 0 up to `from`, 1 from `to` on, a cubic between. */
export function smoothStep(from: number, to: number, x: number): number {
  const t = (x - from) / (to - from);
  return t <= 0 ? 0 : t >= 1 ? 1 : t * t * (3 - 2 * t);
}
