import { z } from "zod";

/** The parts that every reading is made of. Lengths mm, angles degrees. */

/** A number with its uncertainty (GUM, JCGM 100:2008): u standard, U expanded to 95 %, and what u is made of. */
export const Quantity = z.strictObject({
  value: z.number(),
  standardUncertainty: z.number().nonnegative(),
  expandedUncertainty: z.number().nonnegative(),
  coverageFactor: z.number().positive(),
  /** Standard uncertainties by source; their root sum of squares is `standardUncertainty`. */
  components: z.strictObject({
    point: z.number().nonnegative(),
    registration: z.number().nonnegative(),
    scanner: z.number().nonnegative(),
  }),
});
export type Quantity = z.infer<typeof Quantity>;

/** A number that only has an interval (95 %), such as a ratio. */
export const Interval = z.strictObject({ value: z.number(), low: z.number(), high: z.number() });
export type Interval = z.infer<typeof Interval>;

/** Why a reading is not given, in words a clinician can act on. */
export const Withheld = z.strictObject({
  code: z.enum([
    "needs-landmark",
    "landmark-off-surface",
    "one-pair-only",
    "denominator-within-error",
    "angle-within-error",
    "frame-not-possible",
    "raphe-too-uncertain",
    "registration-failed",
    "not-same-palate",
    "identity-doubtful",
    "fit-too-uncertain",
    "crown-too-little-covered",
    "crown-changed",
    "masked",
    "surface-incomplete",
    "not-entered",
    "needs-scan",
    "turns-not-dated",
    "gain-within-error",
    "tooth-not-there",
    "tooth-changed",
    "tooth-erupting",
  ]),
  /** One sentence, e.g. 'needs the palatal gingival point of 26 on the before scan'. */
  text: z.string(),
  /** The landmarks that would help: where to click. */
  needs: z.array(z.strictObject({ timepoint: z.string(), tooth: z.number().int().optional(), place: z.string() })),
});
export type Withheld = z.infer<typeof Withheld>;

/** A reading: its quantity, or the reason why it is withheld. */
export const given = <T extends z.ZodType>(schema: T) =>
  z.discriminatedUnion("state", [
    z.strictObject({ state: z.literal("given"), reading: schema }),
    z.strictObject({ state: z.literal("withheld"), reason: Withheld }),
  ]);
export type Given<T> = { state: "given"; reading: T } | { state: "withheld"; reason: Withheld };

/** A reading that was made. */
export const made = <T>(reading: T): { state: "given"; reading: T } => ({ state: "given", reading });
/** A reading that is not given, and why. */
export const withheldBecause = (
  code: Withheld["code"],
  text: string,
  needs: Withheld["needs"] = [],
): { state: "withheld"; reason: Withheld } => ({ state: "withheld", reason: { code, text, needs } });

/** At which places of the teeth a width is taken. */
export const WidthLevel = z.enum(["cusp-tip", "mesiopalatal-cusp-tip", "central-fossa", "palatal-gingival"]);
export type WidthLevel = z.infer<typeof WidthLevel>;
