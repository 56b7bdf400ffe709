/**
 * First-order propagation of errors (GUM, JCGM 100:2008, 5.2): covariance of computed values from the covariance of
 * what they are computed from.
 */

/**
 * Derivatives of `outputs` by each parameter at 0, by central differences.
 * @param outputs the values for given deviations of the parameters
 * @param steps half distance of the two places at which each parameter is tried, in its unit
 * @returns one row per parameter: the derivative of every output
 */
export function derivatives(
  outputs: (deviations: readonly number[]) => readonly number[],
  steps: readonly number[],
): number[][] {
  return steps.map((step, k) => {
    const at = (sign: 1 | -1) => outputs(steps.map((_, i) => (i === k ? sign * step : 0)));
    const above = at(1);
    const below = at(-1);
    return above.map((value, i) => (value - below[i]!) / (2 * step));
  });
}

/**
 * JᵀCJ for `rows` as from `derivatives` and the parameters' covariance.
 * @param covariance parameters × parameters, by row and column
 * @returns outputs × outputs
 */
export function propagated(
  rows: readonly (readonly number[])[],
  covariance: (row: number, column: number) => number,
): number[][] {
  const outputs = rows[0]?.length ?? 0;
  const result = Array.from({ length: outputs }, () => new Array<number>(outputs).fill(0));
  rows.forEach((a, row) => {
    rows.forEach((b, column) => {
      const c = covariance(row, column);
      if (c === 0) return;
      for (let i = 0; i < outputs; i++) for (let j = 0; j < outputs; j++) result[i]![j]! += a[i]! * c * b[j]!;
    });
  });
  // What is 0 may come out a rounding error below it.
  for (let i = 0; i < outputs; i++) result[i]![i] = Math.max(0, result[i]![i]!);
  return result;
}
