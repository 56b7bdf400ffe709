import { z } from "zod";
import { Landmark } from "../arch/landmark";
import { Unit } from "../scan/unit";

const isoDate = z.string().regex(/^\d{4}-\d{2}-\d{2}$/, "a date reads year-month-day");

export const CaseScan = z.object({
  /** SHA-256 of the file, 64 hex digits; the scan's identity. */
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  /** The file's base name, for the screen only; never on sheet, CSV or JSON. */
  fileName: z.string(),
  unit: Unit,
});
export type CaseScan = z.infer<typeof CaseScan>;

export const Timepoint = z.object({
  /** 'before', 'after', 'in retention', or what the user calls it; unique in the case. */
  name: z.string().min(1),
  /** Which of the sheet's signs it bears: before ● after ◆ retention □. */
  kind: z.enum(["before", "after", "retention"]),
  date: isoDate.nullable(),
  scan: CaseScan.nullable(),
  landmarks: z.array(Landmark),
});
export type Timepoint = z.infer<typeof Timepoint>;

export const CaseDocument = z.object({
  schema: z.literal(1),
  /** True for the samples: their sheets say 'invented sample, no patient'. */
  invented: z.boolean(),
  identity: z.object({
    /** The practice's code for the patient; never a name. */
    pseudonym: z.string(),
    birthYear: z.number().int().min(1900).max(2100).nullable(),
    examiner: z.string(),
    expander: z.object({
      kind: z.enum(["not stated", "tooth-borne", "miniscrew-carried", "surgically assisted"]),
      millimetresPerTurn: z.number().positive().nullable(),
      turns: z.number().int().nonnegative().nullable(),
      turnsOpenAtFitting: z.number().int().nonnegative().nullable(),
    }),
  }),
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
  }),
});
export type CaseDocument = z.infer<typeof CaseDocument>;

export const DEFAULT_SETTINGS: CaseDocument["settings"] = {
  delta: 1,
  // An assumption within the published 0.1 to 0.3 mm across the arch.
  scanner: { atCanines: 0.05, atMolars: 0.12, local: 0.02 },
  // Dahlberg error of arch widths on casts 0.22 to 0.31 mm (normative cast study, n = 25 repeats, seen second-hand).
  pointWidth: 0.25,
};

/** A new case: before and after, nothing in them yet. */
export function emptyCase(): CaseDocument {
  const timepoint = (name: string, kind: Timepoint["kind"]): Timepoint => ({
    name,
    kind,
    date: null,
    scan: null,
    landmarks: [],
  });
  return {
    schema: 1,
    invented: false,
    identity: {
      pseudonym: "",
      birthYear: null,
      examiner: "",
      expander: { kind: "not stated", millimetresPerTurn: null, turns: null, turnsOpenAtFitting: null },
    },
    timepoints: [timepoint("before", "before"), timepoint("after", "after")],
    span: { from: "before", to: "after" },
    settings: DEFAULT_SETTINGS,
  };
}
