/** Why a figure of error cannot be computed from what was read. */
export type TooLittle =
  /** Fewer readings than the figure needs. */
  | "too-few"
  /** The readings do not differ where the figure divides by their spread. */
  | "no-variance";

/** A figure of error, or why there is none. */
export type Estimate<T> =
  | { readonly state: "given"; readonly reading: T }
  | { readonly state: "withheld"; readonly reason: TooLittle };

/** The same thing read twice, in one unit. */
export type RepeatedPair = readonly [first: number, second: number];

export const given = <T>(reading: T): Estimate<T> => ({ state: "given", reading });
export const withheld = <T>(reason: TooLittle): Estimate<T> => ({ state: "withheld", reason });
