import { z } from "zod";

/** At which places of the teeth a width is taken. */
const PlannedLevel = z.enum(["cusp-tip", "mesiopalatal-cusp-tip", "central-fossa", "palatal-gingival"]);

/** What the clinician set out to do and expects; all entered, nothing of it is computed. mm unless a name says otherwise. */
export const Plan = z.object({
  /** The widening aimed at, at a named pair and level. */
  target: z.object({ pair: z.string().min(1), level: PlannedLevel, millimetres: z.number().positive() }).nullable(),
  /** How much more than the need is wanted. */
  overCorrection: z.number().nonnegative().nullable(),
  /** Share of the gain that is expected to be lost, per cent. */
  expectedLossPercent: z.number().min(0).max(100).nullable(),
});
export type Plan = z.infer<typeof Plan>;

export const NO_PLAN: Plan = { target: null, overCorrection: null, expectedLossPercent: null };
