/** Powers of ten that double precision holds exactly. */
const EXACT_POWERS = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));

const PLUS = 43;
const MINUS = 45;
const POINT = 46;
const ZERO = 48;
const UPPER_E = 69;
const LOWER_E = 101;

/**
 * The decimal number written in bytes [start, end), correctly rounded to double precision; NaN if it is none.
 * Up to 15 digits and powers of ten that are exact need one rounding only (W. D. Clinger 1990, the fast path); the rest
 * is left to the engine, whose conversion is exact by ECMA-262.
 */
export function decimal(bytes: Uint8Array, start: number, end: number): number {
  let at = start;
  let negative = false;
  if (bytes[at] === MINUS || bytes[at] === PLUS) negative = bytes[at++] === MINUS;
  let mantissa = 0;
  let digits = 0;
  let significant = 0;
  let fraction = 0;
  let pointSeen = false;
  for (; at < end; at++) {
    const digit = bytes[at]! - ZERO;
    if (digit >= 0 && digit <= 9) {
      mantissa = mantissa * 10 + digit;
      if (mantissa !== 0) significant++;
      digits++;
      if (pointSeen) fraction++;
    } else if (bytes[at] === POINT && !pointSeen) {
      pointSeen = true;
    } else break;
  }
  if (digits === 0) return Number.NaN;
  let exponent = 0;
  if (at < end) {
    if (bytes[at] !== LOWER_E && bytes[at] !== UPPER_E) return Number.NaN;
    at++;
    let exponentNegative = false;
    if (bytes[at] === MINUS || bytes[at] === PLUS) exponentNegative = bytes[at++] === MINUS;
    if (at >= end) return Number.NaN;
    for (; at < end; at++) {
      const digit = bytes[at]! - ZERO;
      if (!(digit >= 0 && digit <= 9)) return Number.NaN;
      // Beyond this every number is 0 or infinite.
      if (exponent < 100_000) exponent = exponent * 10 + digit;
    }
    if (exponentNegative) exponent = -exponent;
  }
  const power = exponent - fraction;
  if (significant > 15 || power < -22 || power > 22) return Number(String.fromCharCode(...bytes.subarray(start, end)));
  const size = power < 0 ? mantissa / EXACT_POWERS[-power]! : mantissa * EXACT_POWERS[power]!;
  return negative ? -size : size;
}

/** True for the ways in which programs write not-a-number and infinity. */
export function isNotFiniteWord(word: string): boolean {
  return /^[+-]?(nan(\(.*\))?|inf(inity)?|1\.#(inf|ind|qnan|snan)\S*)$/i.test(word);
}
