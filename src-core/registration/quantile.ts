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

/**
 * The same of values in any order, without sorting all of them (Hoare 1961, Comm ACM 4:321); they are reordered.
 */
export function quantileOf(values: Float64Array, q: number): number {
  const place = q * (values.length - 1);
  const below = Math.floor(place);
  if (values.length === 0) return Number.NaN;
  let first = 0;
  let last = values.length - 1;
  while (first < last) {
    const a = values[first]!;
    const b = values[(first + last) >> 1]!;
    const c = values[last]!;
    const pivot = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
    let i = first;
    let j = last;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i <= j) {
        const swapped = values[i]!;
        values[i] = values[j]!;
        values[j] = swapped;
        i++;
        j--;
      }
    }
    if (below <= j) last = j;
    else if (below >= i) first = i;
    else break;
  }
  const low = values[below]!;
  // Everything behind is at least as large: the next in order is the smallest of it.
  let high = below + 1 < values.length ? Infinity : low;
  for (let i = below + 1; i < values.length; i++) if (values[i]! < high) high = values[i]!;
  return low + (place - below) * (high - low);
}
