/** A linear axis: from a range of values to a range of points, with round ticks. */
export interface Axis {
  /** The first and last value. */
  readonly low: number;
  readonly high: number;
  readonly ticks: readonly number[];
  /** Decimals that the tick labels need. */
  readonly decimals: number;
  /** The value's place, in points. */
  at(value: number): number;
}

/**
 * An axis that holds [low, high], with round ticks in steps of 1, 2 or 5 × 10^k.
 * @param ends 'round': it ends on ticks; 'exact': it ends at low and high, and the ticks lie between
 * @param from place of the low end, points
 * @param to place of the high end, points
 * @param wanted about how many steps
 */
export function linearAxis(
  ends: "round" | "exact",
  low: number,
  high: number,
  from: number,
  to: number,
  wanted: number,
): Axis {
  const { step, decimals } = roundStep(Math.max(high - low, 1e-9) / wanted);
  const round = ends === "round";
  const first = round ? Math.floor(low / step + 1e-9) : Math.ceil(low / step - 1e-9);
  const last = round ? Math.max(first + 1, Math.ceil(high / step - 1e-9)) : Math.floor(high / step + 1e-9);
  const ticks: number[] = [];
  for (let i = first; i <= last; i++) ticks.push(Number((i * step).toFixed(decimals)));
  const lowEnd = round ? ticks[0]! : low;
  const highEnd = round ? ticks.at(-1)! : high;
  return {
    low: lowEnd,
    high: highEnd,
    ticks,
    decimals,
    at: (value) => from + ((value - lowEnd) / (highEnd - lowEnd)) * (to - from),
  };
}

/** The smallest round number (1, 2 or 5 × 10^k) that is not below the given step, and the decimals it needs. */
export function roundStep(least: number): { step: number; decimals: number } {
  let unit = 1;
  let decimals = 0;
  while (unit * 10 < least) unit *= 10;
  while (unit >= least && decimals < 9) {
    unit /= 10;
    decimals += 1;
  }
  const factor = [1, 2, 5, 10].find((f) => unit * f >= least * (1 - 1e-9)) ?? 10;
  if (factor === 10) decimals = Math.max(0, decimals - 1);
  return { step: Number((unit * factor).toFixed(decimals)), decimals };
}
