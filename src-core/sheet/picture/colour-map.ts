import { fromOklab, linearOf, type Triple, toOklab } from "./colour";

/**
 * The colours of signed distances: blue (below the earlier surface) – warm white – brown (above it), through
 * #0b3f74, #6f9fc6, #efece4, #d8935a, #7d2f06. Hue and chroma come from these five; the lightness falls in a straight
 * line and equally to both sides, so that equal distances differ equally in lightness with any colour vision.
 */
const STOPS: readonly Triple[] = ["#0b3f74", "#6f9fc6", "#efece4", "#d8935a", "#7d2f06"].map((hex) =>
  toOklab(linearOf(hex)),
);
const MIDDLE = STOPS[2]![0];
const ENDS = (STOPS[0]![0] + STOPS[4]![0]) / 2;

/**
 * The colour of a distance.
 * @param share distance / limit, cut off at ±1
 * @returns linear light
 */
export function distanceColour(share: number): Triple {
  const s = Math.min(1, Math.max(-1, share));
  const place = (s + 1) * 2;
  const from = Math.min(3, Math.floor(place));
  const part = place - from;
  const [a, b] = [STOPS[from]!, STOPS[from + 1]!];
  const lightness = MIDDLE + (ENDS - MIDDLE) * Math.abs(s);
  const [r, g, bl] = fromOklab([lightness, a[1] + (b[1] - a[1]) * part, a[2] + (b[2] - a[2]) * part]);
  const cut = (c: number) => Math.min(1, Math.max(0, c));
  return [cut(r), cut(g), cut(bl)];
}

const STEPS = 512;

/** The colours at 2 × 512 + 1 equal steps from −1 to 1, three numbers each: the table that pictures look up. */
export function distanceTable(): { table: Float32Array; row(share: number): number } {
  const table = new Float32Array(3 * (2 * STEPS + 1));
  for (let i = 0; i <= 2 * STEPS; i++) table.set(distanceColour(i / STEPS - 1), 3 * i);
  return { table, row: (share) => 3 * Math.round((Math.min(1, Math.max(-1, share)) + 1) * STEPS) };
}

/** A round limit for the scale that holds the given distances (mm): 0.2, 0.5, 1, 2, 3, 5 or 10 mm. */
export function scaleLimit(low: number, high: number): number {
  const least = Math.max(Math.abs(low), Math.abs(high));
  return [0.2, 0.5, 1, 2, 3, 5].find((limit) => least <= limit) ?? 10;
}
