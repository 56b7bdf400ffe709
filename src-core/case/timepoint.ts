import { z } from "zod";
import { Landmark } from "../arch/landmark";
import { isTooth } from "../arch/teeth";
import { Unit } from "../scan/unit";
import { IsoDate } from "./iso-date";

const Tooth = z.number().int().refine(isTooth, "a tooth number by ISO 3950");
const Sha256 = z.string().regex(/^[0-9a-f]{64}$/);

export const CaseScan = z.object({
  /** SHA-256 of the file, 64 hex digits; the scan's identity. */
  sha256: Sha256,
  /** The file's base name, for the screen only; never on sheet, CSV or JSON. */
  fileName: z.string(),
  unit: Unit,
});
export type CaseScan = z.infer<typeof CaseScan>;

/** How a tooth stands on one scan. Teeth that are not listed are present. */
export const ToothState = z.enum(["present", "deciduous", "erupting", "missing", "extracted-space-closed"]);
export type ToothState = z.infer<typeof ToothState>;

/** How an upper tooth bites against the lower ones, as the clinician saw it. */
export const Crossbite = z.enum(["normal", "edge-to-edge", "crossbite", "scissor-bite"]);
export type Crossbite = z.infer<typeof Crossbite>;

/** What the scan shows of an appliance. */
export const Appliance = z.object({
  kind: z.enum(["not stated", "none", "over-the-palate", "bands", "bonded-splint", "removed"]),
  /** For 'removed': days between its removal and the scan. */
  removedDaysAgo: z.number().int().nonnegative().nullable(),
  /** The teeth it is fixed to. */
  teeth: z.array(Tooth),
});
export type Appliance = z.infer<typeof Appliance>;

/** A painted area of a scan: one bit per triangle in the order of the file, in a file of its own named by its hash. */
export const PaintedArea = z.object({
  /** SHA-256 of the bits, 64 hex digits. */
  sha256: Sha256,
  /** How many triangles the scan's file has. */
  triangles: z.number().int().positive(),
});
export type PaintedArea = z.infer<typeof PaintedArea>;

/** The landmarks of a scan placed once more, to see how well they repeat. */
export const RepeatSet = z.object({ examiner: z.string(), landmarks: z.array(Landmark) });
export type RepeatSet = z.infer<typeof RepeatSet>;

/** What is known of a visit beside its scan and landmarks; all entered. */
export const VisitDetails = z.object({
  /** Make of the scanner, free text. */
  scanner: z.string(),
  teeth: z.array(z.object({ tooth: Tooth, state: ToothState })),
  appliance: Appliance,
  crossbite: z.array(z.object({ tooth: Tooth, relation: Crossbite })),
  /** A fixed appliance still moves or holds teeth. */
  fixedApplianceActive: z.boolean(),
  /** Teeth are meant to upright again: part of the loss is wanted. */
  uprightingIntended: z.boolean(),
});
export type VisitDetails = z.infer<typeof VisitDetails>;

export const Timepoint = z.object({
  /** 'before', 'after', 'in retention', or what the user calls it; unique in the case. */
  name: z.string().min(1),
  /** Which of the sheet's signs it bears: before ● after ◆ retention □. */
  kind: z.enum(["before", "after", "retention"]),
  date: IsoDate.nullable(),
  scan: CaseScan.nullable(),
  landmarks: z.array(Landmark),
  details: VisitDetails,
  /** Where an appliance covers the upper scan: excluded from every fit and reading. */
  appliancePainted: PaintedArea.nullable(),
  /** Where the upper scan is to be registered, in place of the proposed palate. */
  referencePainted: PaintedArea.nullable(),
  /** The lower arch of the same date. */
  lower: z.object({ scan: CaseScan.nullable(), landmarks: z.array(Landmark) }).nullable(),
  repeats: z.array(RepeatSet),
});
export type Timepoint = z.infer<typeof Timepoint>;

export const NO_DETAILS: VisitDetails = {
  scanner: "",
  teeth: [],
  appliance: { kind: "not stated", removedDaysAgo: null, teeth: [] },
  crossbite: [],
  fixedApplianceActive: false,
  uprightingIntended: false,
};

/** A timepoint with nothing in it yet. */
export const emptyTimepoint = (name: string, kind: Timepoint["kind"], date: Timepoint["date"] = null): Timepoint => ({
  name,
  kind,
  date,
  scan: null,
  landmarks: [],
  details: NO_DETAILS,
  appliancePainted: null,
  referencePainted: null,
  lower: null,
  repeats: [],
});

/** How a tooth stands at a timepoint. */
export const toothState = (timepoint: Pick<Timepoint, "details">, tooth: number): ToothState =>
  timepoint.details.teeth.find((one) => one.tooth === tooth)?.state ?? "present";

/** How jobs and landmark files name the lower arch's scan of a timepoint. */
export const lowerScanName = (timepoint: string): string => `${timepoint}, lower`;
