/** Powers of ten that double precision holds exactly. */
const EXACT_POWERS = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));

const PLUS = 43;
const MINUS = 45;
const POINT = 46;
const ZERO = 48;
const NINE = 57;
const UPPER_E = 69;
const LOWER_E = 101;

/** Below this every whole number of decimal digits is exact, and so is its quotient by an exact power, rounded once. */
const EXACT_MANTISSA = 1e15;

/** Reads decimal numbers out of bytes, each where it begins. */
export class DecimalScanner {
  /** Where the number read last ends: at the first byte that belongs to none. */
  end = 0;

  /**
   * The decimal number that begins at `start`, correctly rounded to double precision; NaN if none does.
   * Up to 15 digits and powers of ten that are exact need one rounding only (W. D. Clinger 1990, the fast path); the rest
   * is left to the engine, whose conversion is exact by ECMA-262.
   */
  scan(bytes: Uint8Array, start: number): number {
    let at = start;
    let byte = bytes[at]!;
    const negative = byte === MINUS;
    if (negative || byte === PLUS) byte = bytes[++at]!;
    const first = at;
    let mantissa = 0;
    while (byte >= ZERO && byte <= NINE) {
      mantissa = mantissa * 10 + (byte - ZERO);
      byte = bytes[++at]!;
    }
    let digits = at - first;
    let power = 0;
    if (byte === POINT) {
      const point = at;
      byte = bytes[++at]!;
      while (byte >= ZERO && byte <= NINE) {
        mantissa = mantissa * 10 + (byte - ZERO);
        byte = bytes[++at]!;
      }
      power = point + 1 - at;
      digits -= power;
    }
    this.end = at;
    if (digits === 0) return Number.NaN;
    if (byte === LOWER_E || byte === UPPER_E) {
      byte = bytes[++at]!;
      const downwards = byte === MINUS;
      if (downwards || byte === PLUS) byte = bytes[++at]!;
      const firstOfExponent = at;
      let exponent = 0;
      while (byte >= ZERO && byte <= NINE) {
        // Beyond this every number is 0 or infinite.
        if (exponent < 100_000) exponent = exponent * 10 + (byte - ZERO);
        byte = bytes[++at]!;
      }
      this.end = at;
      if (at === firstOfExponent) return Number.NaN;
      power += downwards ? -exponent : exponent;
    }
    if (!(mantissa < EXACT_MANTISSA) || power < -22 || power > 22) {
      return Number(String.fromCharCode(...bytes.subarray(start, at)));
    }
    const size = power < 0 ? mantissa / EXACT_POWERS[-power]! : mantissa * EXACT_POWERS[power]!;
    return negative ? -size : size;
  }
}

const SCANNER = new DecimalScanner();

/** The decimal number written in bytes [start, end), as `DecimalScanner` reads it; NaN if they are none or more than one. */
export function decimal(bytes: Uint8Array, start: number, end: number): number {
  const value = SCANNER.scan(bytes, start);
  return SCANNER.end === end ? value : Number.NaN;
}

/** True for the ways in which programs write not-a-number and infinity. */
export function isNotFiniteWord(word: string): boolean {
  return /^[+-]?(nan(\(.*\))?|inf(inity)?|1\.#(inf|ind|qnan|snan)\S*)$/i.test(word);
}
