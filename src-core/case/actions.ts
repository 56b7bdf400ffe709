import { z } from "zod";
import { Landmark, sameSpot } from "../arch/landmark";
import { MILLIMETRES, Unit } from "../scan/unit";
import { CaseDocument } from "./case-document";
import { Plan } from "./plan";
import { CaseScan, emptyTimepoint, PaintedArea, RepeatSet, Timepoint, VisitDetails } from "./timepoint";
import { inOrderOfTime, removeTimepoint, renameTimepoint } from "./timepoint-list";

/** Everything a user can do to a case; each finished gesture is one action. */
export const CaseAction = z.discriminatedUnion("do", [
  z.object({ do: z.literal("set-identity"), identity: CaseDocument.shape.identity }),
  z.object({ do: z.literal("set-settings"), settings: CaseDocument.shape.settings }),
  z.object({
    do: z.literal("add-timepoint"),
    name: z.string().min(1),
    kind: Timepoint.shape.kind,
    date: Timepoint.shape.date,
  }),
  z.object({ do: z.literal("rename-timepoint"), timepoint: z.string(), name: z.string().min(1) }),
  z.object({ do: z.literal("set-kind"), timepoint: z.string(), kind: Timepoint.shape.kind }),
  z.object({ do: z.literal("remove-timepoint"), timepoint: z.string() }),
  z.object({ do: z.literal("set-date"), timepoint: z.string(), date: Timepoint.shape.date }),
  z.object({ do: z.literal("attach-scan"), timepoint: z.string(), scan: CaseScan }),
  z.object({ do: z.literal("set-unit"), timepoint: z.string(), unit: Unit }),
  z.object({ do: z.literal("exchange-scans"), first: z.string(), second: z.string() }),
  z.object({ do: z.literal("place-landmark"), timepoint: z.string(), landmark: Landmark }),
  z.object({ do: z.literal("remove-landmark"), timepoint: z.string(), landmark: Landmark }),
  z.object({ do: z.literal("take-landmarks"), timepoint: z.string(), landmarks: z.array(Landmark) }),
  z.object({ do: z.literal("set-plan"), plan: Plan }),
  z.object({ do: z.literal("set-details"), timepoint: z.string(), details: VisitDetails }),
  z.object({
    do: z.literal("paint"),
    timepoint: z.string(),
    area: z.enum(["appliance", "reference"]),
    painted: PaintedArea.nullable(),
  }),
  z.object({ do: z.literal("set-lower"), timepoint: z.string(), lower: Timepoint.shape.lower }),
  z.object({ do: z.literal("set-repeats"), timepoint: z.string(), repeats: z.array(RepeatSet) }),
  z.object({ do: z.literal("choose-span"), from: z.string(), to: z.string() }),
]);
export type CaseAction = z.infer<typeof CaseAction>;

const at = (document: CaseDocument, name: string, change: (timepoint: Timepoint) => Timepoint): CaseDocument => ({
  ...document,
  timepoints: document.timepoints.map((t) => (t.name === name ? change(t) : t)),
});

const equal = (a: Landmark, b: Landmark): boolean =>
  a.tooth === b.tooth && a.place === b.place && a.at.every((value, axis) => value === b.at[axis]);

/** What belongs to a scan's surface and goes with it. */
const NOTHING_ON_IT = { landmarks: [], appliancePainted: null, referencePainted: null, repeats: [] };

/** Landmarks of a scan whose unit became another. */
export const scaled = (landmarks: readonly Landmark[], factor: number): Landmark[] =>
  landmarks.map((m) => ({ ...m, at: [m.at[0] * factor, m.at[1] * factor, m.at[2] * factor] }));

/**
 * The case after an action; pure, never changes its input. An action that names an unknown timepoint leaves the case
 * as it is (the same object). A landmark placed on a spot that has one replaces it; raphe points add up. A new scan
 * drops the landmarks and painted areas of the scan it replaces, for they belong to that surface (undo brings both back). Another unit
 * moves the landmarks (mm) with the surface they stand on. Scans that were opened in the wrong order are exchanged with
 * their landmarks; the dates stay, for they belong to the visits. A name that is taken is not given twice, and two
 * timepoints always remain.
 */
export function reduceCase(document: CaseDocument, action: CaseAction): CaseDocument {
  const knows = (name: string) => document.timepoints.some((t) => t.name === name);
  switch (action.do) {
    case "set-identity":
      return { ...document, identity: action.identity };
    case "set-settings":
      return { ...document, settings: action.settings };
    case "add-timepoint":
      if (knows(action.name)) return document;
      return inOrderOfTime({
        ...document,
        timepoints: [...document.timepoints, emptyTimepoint(action.name, action.kind, action.date)],
      });
    case "rename-timepoint":
      return knows(action.timepoint) && !knows(action.name)
        ? renameTimepoint(document, action.timepoint, action.name)
        : document;
    case "set-kind":
      return knows(action.timepoint) ? at(document, action.timepoint, (t) => ({ ...t, kind: action.kind })) : document;
    case "remove-timepoint":
      return knows(action.timepoint) ? removeTimepoint(document, action.timepoint) : document;
    case "set-date":
      return knows(action.timepoint)
        ? inOrderOfTime(at(document, action.timepoint, (t) => ({ ...t, date: action.date })))
        : document;
    case "attach-scan":
      if (!knows(action.timepoint)) return document;
      return at(document, action.timepoint, (t) => ({
        ...t,
        scan: action.scan,
        ...(t.scan === null || t.scan.sha256 === action.scan.sha256 ? {} : NOTHING_ON_IT),
      }));
    case "set-unit": {
      const scan = document.timepoints.find((t) => t.name === action.timepoint)?.scan ?? null;
      if (scan === null || scan.unit === action.unit) return document;
      const factor = MILLIMETRES[action.unit] / MILLIMETRES[scan.unit];
      return at(document, action.timepoint, (t) => ({
        ...t,
        scan: { ...scan, unit: action.unit },
        landmarks: scaled(t.landmarks, factor),
        repeats: t.repeats.map((set) => ({ ...set, landmarks: scaled(set.landmarks, factor) })),
      }));
    }
    case "exchange-scans": {
      const first = document.timepoints.find((t) => t.name === action.first);
      const second = document.timepoints.find((t) => t.name === action.second);
      if (first === undefined || second === undefined) return document;
      const content = (t: Timepoint) => ({
        scan: t.scan,
        landmarks: t.landmarks,
        appliancePainted: t.appliancePainted,
        referencePainted: t.referencePainted,
        repeats: t.repeats,
      });
      return at(
        at(document, first.name, (t) => ({ ...t, ...content(second) })),
        second.name,
        (t) => ({ ...t, ...content(first) }),
      );
    }
    case "place-landmark":
      if (!knows(action.timepoint)) return document;
      return at(document, action.timepoint, (t) => ({
        ...t,
        landmarks: [...t.landmarks.filter((m) => !sameSpot(m, action.landmark)), action.landmark],
      }));
    case "remove-landmark":
      if (!knows(action.timepoint)) return document;
      return at(document, action.timepoint, (t) => ({
        ...t,
        landmarks: t.landmarks.filter((m) => !equal(m, action.landmark)),
      }));
    case "take-landmarks":
      return knows(action.timepoint)
        ? at(document, action.timepoint, (t) => ({ ...t, landmarks: action.landmarks }))
        : document;
    case "set-plan":
      return { ...document, plan: action.plan };
    case "set-details":
      return knows(action.timepoint)
        ? at(document, action.timepoint, (t) => ({ ...t, details: action.details }))
        : document;
    case "paint":
      return knows(action.timepoint)
        ? at(document, action.timepoint, (t) => ({
            ...t,
            [action.area === "appliance" ? "appliancePainted" : "referencePainted"]: action.painted,
          }))
        : document;
    case "set-lower":
      return knows(action.timepoint)
        ? at(document, action.timepoint, (t) => ({ ...t, lower: action.lower }))
        : document;
    case "set-repeats":
      return knows(action.timepoint)
        ? at(document, action.timepoint, (t) => ({ ...t, repeats: action.repeats }))
        : document;
    case "choose-span":
      return knows(action.from) && knows(action.to) && action.from !== action.to
        ? { ...document, span: { from: action.from, to: action.to } }
        : document;
  }
}
