/**
 * The q-quantile (0 to 1) of values in ascending order, interpolated between neighbours (definition 7 of Hyndman & Fan
 * 1996, Am Stat 50:361); NaN of no values.
 */
export function quantileOfSorted(sorted: Float64Array, q: number): number {
  const place = q * (sorted.length - 1);
  const below = Math.floor(place);
  const low = sorted[below];
  if (low === undefined) return Number.NaN;
  const high = sorted[Math.min(below + 1, sorted.length - 1)]!;
  return low + (place - below) * (high - low);
}
