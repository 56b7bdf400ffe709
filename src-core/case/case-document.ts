import { z } from "zod";
import { Expander, UNSTATED_EXPANDER } from "./expander";
import { NO_PLAN, Plan } from "./plan";
import { type CaseScan, emptyTimepoint, lowerScanName, Timepoint } from "./timepoint";

export const CaseDocument = z.object({
  schema: z.literal(1),
  /** True for the samples: their sheets say 'invented sample, no patient'. */
  invented: z.boolean(),
  identity: z.object({
    /** The practice's code for the patient; never a name. */
    pseudonym: z.string(),
    /** The practice's own record number; optional, never in a file's name. */
    recordNumber: z.string(),
    birthYear: z.number().int().min(1900).max(2100).nullable(),
    /** 1 to 12; ages are given in years and months only where it is known. */
    birthMonth: z.number().int().min(1).max(12).nullable(),
    examiner: z.string(),
    expander: Expander,
  }),
  plan: Plan,
  timepoints: z.array(Timepoint),
  /** The two timepoints that are compared, by name. */
  span: z.object({ from: z.string(), to: z.string() }),
  settings: z.object({
    /** δ of the verdict rule, mm. */
    delta: z.number().positive(),
    /** Scanner figures, mm per scan: at the canines, at the first molars, locally. */
    scanner: z.object({
      atCanines: z.number().nonnegative(),
      atMolars: z.number().nonnegative(),
      local: z.number().nonnegative(),
    }),
    /** u of a width from points placed by hand, mm. */
    pointWidth: z.number().nonnegative(),
    /** Once the screw delivered this much, mm, halves that did not move apart are remarked on. */
    separationFrom: z.number().positive(),
  }),
});
export type CaseDocument = z.infer<typeof CaseDocument>;

export const DEFAULT_SETTINGS: CaseDocument["settings"] = {
  delta: 1,
  // An assumption within the published 0.1 to 0.3 mm across the arch.
  scanner: { atCanines: 0.05, atMolars: 0.12, local: 0.02 },
  // Dahlberg error of arch widths on casts 0.22 to 0.31 mm (normative cast study, n = 25 repeats, seen second-hand).
  pointWidth: 0.25,
  separationFrom: 2,
};

/** A new case: before and after, nothing in them yet. */
export function emptyCase(): CaseDocument {
  return {
    schema: 1,
    invented: false,
    identity: {
      pseudonym: "",
      recordNumber: "",
      birthYear: null,
      birthMonth: null,
      examiner: "",
      expander: UNSTATED_EXPANDER,
    },
    plan: NO_PLAN,
    timepoints: [emptyTimepoint("before", "before"), emptyTimepoint("after", "after")],
    span: { from: "before", to: "after" },
    settings: DEFAULT_SETTINGS,
  };
}

/** Every scan of the case, upper and lower, with the name that jobs know it by. */
export const scansOf = ({ timepoints }: Pick<CaseDocument, "timepoints">): { of: string; scan: CaseScan }[] =>
  timepoints.flatMap(({ name, scan, lower }) => [
    ...(scan === null ? [] : [{ of: name, scan }]),
    ...(lower === null || lower.scan === null ? [] : [{ of: lowerScanName(name), scan: lower.scan }]),
  ]);
