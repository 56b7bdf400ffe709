import { z } from "zod";
import { Landmark } from "../arch/landmark";
import { isDeciduous, isTooth, isUpper, UPPER_PAIRS } from "../arch/teeth";
import { RapheError } from "../errors";
import { Unit } from "../scan/unit";
import { CaseDocument, DEFAULT_SETTINGS } from "./case-document";
import { Expander, TurningPhase, UNSTATED_EXPANDER } from "./expander";
import { IsoDate } from "./iso-date";
import { unknownKeys } from "./nearest-key";
import { NO_PLAN, Plan } from "./plan";
import { Appliance, Crossbite, NO_DETAILS, Timepoint, ToothState } from "./timepoint";

/**
 * A case as a person writes it down: case.json beside the scans. All but scans and landmarks may be left out. Paths are
 * relative to the file; lengths mm.
 */

/** An object that refuses keys it does not know and says which one may be meant. */
const strict = <Shape extends z.ZodRawShape>(shape: Shape) =>
  z.strictObject(shape, {
    error: (issue) =>
      issue.code === "unrecognized_keys" ? unknownKeys(issue.keys ?? [], Object.keys(shape)) : undefined,
  });

const Path = z.string().min(1, "a path is missing");

/** An upper tooth as a key: '16'. States and relations are told by the permanent tooth. */
const UpperTooth = z.string().refine((key) => {
  const tooth = Number(key);
  return /^\d\d$/.test(key) && isTooth(tooth) && isUpper(tooth) && !isDeciduous(tooth);
}, "an upper permanent tooth by ISO 3950, 11 to 28");

const onlyOne = (value: { landmarks?: unknown; marks?: unknown }, context: z.RefinementCtx): void => {
  if (value.landmarks === undefined || value.marks === undefined) return;
  context.addIssue({ code: "custom", message: "landmarks stand either here or in a file, not both", path: ["marks"] });
};

/** Landmarks, written out or by the path of a marks.json. */
const WHERE_MARKED = { landmarks: z.array(Landmark.strict()).optional(), marks: Path.optional() };

const identity = CaseDocument.shape.identity.shape;
const DescribedIdentity = strict({
  pseudonym: identity.pseudonym.default(""),
  recordNumber: identity.recordNumber.default(""),
  birthYear: identity.birthYear.default(null),
  birthMonth: identity.birthMonth.default(null),
  examiner: identity.examiner.default(""),
});

const DescribedPhase = strict({
  direction: TurningPhase.shape.direction,
  turns: TurningPhase.shape.turns,
  from: IsoDate.nullable().default(null),
  to: IsoDate.nullable().default(null),
});

const expander = Expander.shape;
const DescribedExpander = strict({
  kind: expander.kind.default(UNSTATED_EXPANDER.kind),
  description: expander.description.default(""),
  millimetresPerTurn: expander.millimetresPerTurn.default(null),
  millimetresPerTurnAtEnds: strict(expander.millimetresPerTurnAtEnds.unwrap().shape).nullable().default(null),
  capacity: expander.capacity.default(null),
  turnsOpenAtFitting: expander.turnsOpenAtFitting.default(null),
  phases: z.array(DescribedPhase).default([]),
});

const target = Plan.shape.target.unwrap().shape;
const DescribedPlan = strict({
  target: strict({ ...target, pair: z.enum(UPPER_PAIRS.map(({ name }) => name)) })
    .nullable()
    .default(NO_PLAN.target),
  overCorrection: Plan.shape.overCorrection.default(NO_PLAN.overCorrection),
  expectedLossPercent: Plan.shape.expectedLossPercent.default(NO_PLAN.expectedLossPercent),
});

const settings = CaseDocument.shape.settings.shape;
const scanner = settings.scanner.shape;
const DescribedSettings = strict({
  delta: settings.delta.default(DEFAULT_SETTINGS.delta),
  scanner: strict({
    atCanines: scanner.atCanines.default(DEFAULT_SETTINGS.scanner.atCanines),
    atMolars: scanner.atMolars.default(DEFAULT_SETTINGS.scanner.atMolars),
    local: scanner.local.default(DEFAULT_SETTINGS.scanner.local),
  }).prefault({}),
  pointWidth: settings.pointWidth.default(DEFAULT_SETTINGS.pointWidth),
  separationFrom: settings.separationFrom.default(DEFAULT_SETTINGS.separationFrom),
});

const DescribedDetails = strict({
  scanner: z.string().default(NO_DETAILS.scanner),
  teeth: z.record(UpperTooth, ToothState).default({}),
  appliance: strict({
    kind: Appliance.shape.kind.default(NO_DETAILS.appliance.kind),
    removedDaysAgo: Appliance.shape.removedDaysAgo.default(null),
    teeth: Appliance.shape.teeth.default([]),
  }).prefault({}),
  crossbite: z.record(UpperTooth, Crossbite).default({}),
  fixedApplianceActive: z.boolean().default(false),
  uprightingIntended: z.boolean().default(false),
});

const DescribedLower = strict({ scan: Path, unit: Unit.optional(), ...WHERE_MARKED }).superRefine(onlyOne);
const DescribedRepeat = strict({ examiner: z.string().default(""), ...WHERE_MARKED }).superRefine(onlyOne);

const DescribedTimepoint = strict({
  /** 'before', 'after', 'in retention' in this order where nothing is said. */
  name: z.string().min(1).optional(),
  /** By the name, else by the order, where nothing is said. */
  kind: Timepoint.shape.kind.optional(),
  date: IsoDate.nullable().default(null),
  scan: Path,
  /** mm where nothing is said; one that is said is not questioned. */
  unit: Unit.optional(),
  ...WHERE_MARKED,
  details: DescribedDetails.prefault({}),
  appliancePainted: Path.nullable().default(null),
  referencePainted: Path.nullable().default(null),
  lower: DescribedLower.nullable().default(null),
  repeats: z.array(DescribedRepeat).default([]),
}).superRefine(onlyOne);

export const CaseDescription = strict({
  $schema: z.string().optional(),
  version: z.literal(1),
  /** How the case is offered; never on the sheet. */
  title: z.string().default(""),
  /** True for samples: their sheets say so on every page. */
  invented: z.boolean().default(false),
  identity: DescribedIdentity.prefault({}),
  expander: DescribedExpander.prefault({}),
  plan: DescribedPlan.prefault({}),
  settings: DescribedSettings.prefault({}),
  /** A marks.json with the landmarks of the scans by their timepoints' names. */
  marks: Path.optional(),
  /** In the order of time. */
  timepoints: z.array(DescribedTimepoint).min(2, "two scans or more are compared"),
}).superRefine(({ timepoints, expander: { phases } }, context) => {
  const refuse = (message: string, path: (string | number)[]) => context.addIssue({ code: "custom", message, path });
  timepoints.forEach(({ name, date }, i) => {
    const own = name ?? usualName(i);
    if (timepoints.some((other, j) => j < i && (other.name ?? usualName(j)) === own)) {
      refuse(`a second timepoint is named '${own}'`, ["timepoints", i, "name"]);
    }
    const earlier = timepoints.slice(0, i).findLast((other) => other.date !== null)?.date ?? null;
    if (date !== null && earlier !== null && date < earlier) {
      refuse(`timepoints stand in the order of time, and ${date} is before ${earlier}`, ["timepoints", i, "date"]);
    }
  });
  phases.forEach(({ from, to }, i) => {
    if (from !== null && to !== null && to < from) {
      refuse(`a phase of turning ends after it began, and ${to} is before ${from}`, ["expander", "phases", i, "to"]);
    }
  });
});
export type CaseDescription = z.infer<typeof CaseDescription>;
export type DescribedTimepoint = CaseDescription["timepoints"][number];

/** What a timepoint is called where nobody said: 'before', 'after', 'in retention', 'in retention 2' … */
export const usualName = (index: number): string =>
  ["before", "after", "in retention"][index] ?? `in retention ${index - 1}`;

/** Which sign a timepoint bears where nobody said: by its name, else by its place in the order of time. */
export function usualKind(name: string, index: number): Timepoint["kind"] {
  if (/retention/i.test(name)) return "retention";
  if (/^after/i.test(name)) return "after";
  if (index === 0 || /^before/i.test(name)) return "before";
  return index === 1 ? "after" : "retention";
}

/**
 * Reads the text of a case.json.
 * @param name how the user knows the file, for the error
 * @throws RapheError `case-malformed`, naming the place in the document
 */
export function parseCaseDescription(text: string, name: string): CaseDescription {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch (thrown) {
    throw new RapheError({
      code: "case-malformed",
      subject: name,
      problem: "this is not JSON",
      where: thrown instanceof Error ? thrown.message : String(thrown),
      remedy: "Correct the file; a comma or quote is often missing there",
    });
  }
  const read = CaseDescription.safeParse(raw);
  if (read.success) return read.data;
  const issue = read.error.issues[0]!;
  throw new RapheError({
    code: "case-malformed",
    subject: name,
    problem: wordsOf(issue),
    where: issue.path.map(String).join(" → ") || "at the top",
    remedy: "Correct that entry; the schema is case.schema.json",
  });
}

/** An issue in one sentence: a key's own refusal stands inside it. */
const wordsOf = (issue: z.core.$ZodIssue): string =>
  issue.code === "invalid_key" ? `'${String(issue.path.at(-1))}' is not ${issue.issues[0]?.message}` : issue.message;
