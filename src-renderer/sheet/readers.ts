/** What a quiet field takes: the value of what was typed, or null where it is none. */
type Reader<T> = (typed: string) => { value: T } | null;

export const text: Reader<string> = (typed) => ({ value: typed.trim() });

/** A text that is not empty. */
export const words: Reader<string> = (typed) => (typed.trim() === "" ? null : { value: typed.trim() });

/** A whole number within limits, or nothing. */
export const whole =
  (least: number, most: number): Reader<number | null> =>
  (typed) => {
    if (typed.trim() === "") return { value: null };
    const value = Number(typed);
    return Number.isInteger(value) && value >= least && value <= most ? { value } : null;
  };

/** A number within limits with a decimal point or comma, its unit behind it or not; or nothing. */
export const number =
  (least: number, most: number): Reader<number | null> =>
  (typed) => {
    if (typed.trim() === "") return { value: null };
    const value = Number(typed.replace(",", ".").replace(/\s*(mm|%)$/, ""));
    return Number.isFinite(value) && value >= least && value <= most ? { value } : null;
  };

/** As `number`, and something must be there. */
export const figure =
  (least: number, most: number): Reader<number> =>
  (typed) => {
    const read = number(least, most)(typed);
    return read === null || read.value === null ? null : { value: read.value };
  };

/** The least length that is one, mm. */
export const SOME = 0.001;

export const shown = (value: number | null): string => (value === null ? "" : String(value));
