import type { Landmark } from "../arch/landmark";
import type { Marks } from "../arch/marks";
import { RapheError } from "../errors";
import { readPainted } from "../scan/painted-file";
import type { Unit } from "../scan/unit";
import { type CaseDescription, type DescribedTimepoint, usualKind, usualName } from "./case-description";
import type { CaseDocument } from "./case-document";
import { type CaseScan, lowerScanName, type PaintedArea, type Timepoint } from "./timepoint";

/** What a case.json names by path. */
export interface DescribedFiles {
  /** Every scan, upper and lower. */
  readonly scans: readonly DescribedScan[];
  readonly marks: readonly string[];
  readonly painted: readonly string[];
}

export interface DescribedScan {
  /** The timepoint's name; of a lower arch as `lowerScanName` says. */
  readonly of: string;
  /** The timepoint's place in the order of time. */
  readonly index: number;
  readonly path: string;
  readonly unit: Unit;
  /** Whether the unit was said or is the usual one. */
  readonly unitSaid: boolean;
}

/** What was found under those paths. */
export interface OpenedFiles {
  /** null: it could not be opened, which was reported. */
  readonly scans: ReadonlyMap<string, OpenedScan | null>;
  readonly marks: ReadonlyMap<string, Marks>;
  /** What the files hold. */
  readonly painted: ReadonlyMap<string, Uint8Array>;
}

export interface OpenedScan {
  readonly sha256: string;
  readonly fileName: string;
  /** How many triangles the file has. */
  readonly triangles: number;
}

/** Nothing opened yet but the landmark files. */
export const onlyMarks = (marks: OpenedFiles["marks"]): OpenedFiles => ({
  scans: new Map(),
  marks,
  painted: new Map(),
});

const USUAL_UNIT: Unit = "mm";

const once = (paths: readonly (string | null | undefined)[]): string[] => [
  ...new Set(paths.filter((path) => path !== null && path !== undefined)),
];

/** Every file that a description names. */
export function describedFiles({ timepoints, marks }: CaseDescription): DescribedFiles {
  const scan = (of: string, index: number, { scan: path, unit }: { scan: string; unit?: Unit | undefined }) => ({
    of,
    index,
    path,
    unit: unit ?? USUAL_UNIT,
    unitSaid: unit !== undefined,
  });
  return {
    scans: timepoints.flatMap((timepoint, index) => {
      const name = timepoint.name ?? usualName(index);
      const { lower } = timepoint;
      const upper = scan(name, index, timepoint);
      return lower === null ? [upper] : [upper, scan(lowerScanName(name), index, lower)];
    }),
    marks: once([
      marks,
      ...timepoints.flatMap((t) => [t.marks, t.lower?.marks, ...t.repeats.map((repeat) => repeat.marks)]),
    ]),
    painted: once(timepoints.flatMap((t) => [t.appliancePainted, t.referencePainted])),
  };
}

/**
 * The case that a description describes.
 * @param opened what was found under its paths; a scan that is not there leaves its timepoint without one
 * @param name how the user knows the description, for errors
 * @throws RapheError `marks-missing-scan` where a landmark file has none of what it is named for; `malformed` where
 * a painted file does not belong to its scan
 */
export function describedCase(description: CaseDescription, opened: OpenedFiles, name: string): CaseDocument {
  const { identity, expander, plan, settings, invented } = description;
  const names = description.timepoints.map((timepoint, i) => timepoint.name ?? usualName(i));
  const shared = description.marks === undefined ? null : marksAt(opened, description.marks);
  if (shared !== null) checkNames(shared, names, description.marks!);
  const timepoints = description.timepoints.map((timepoint, i) => timepointOf(timepoint, names[i]!, i, shared, opened));
  if (timepoints.every(({ landmarks }) => landmarks.length === 0)) {
    throw new RapheError({
      code: "marks-missing-scan",
      subject: name,
      problem: "no scan of the case has landmarks",
      remedy: "Name a landmark file under 'marks', or write 'landmarks' at a timepoint; one marked scan is enough",
    });
  }
  return {
    schema: 1,
    invented,
    identity: { ...identity, expander },
    plan,
    timepoints,
    span: { from: names[0]!, to: names[1]! },
    settings,
  };
}

function timepointOf(
  described: DescribedTimepoint,
  name: string,
  index: number,
  shared: Marks | null,
  opened: OpenedFiles,
): Timepoint {
  const { details, lower, repeats } = described;
  const placed = (own: { landmarks?: Landmark[] | undefined; marks?: string | undefined }, names: readonly string[]) =>
    own.landmarks ?? (own.marks === undefined ? null : landmarksFor(marksAt(opened, own.marks), names, own.marks));
  const painted = (path: string | null) => paintedArea(path, described.scan, opened);
  return {
    name,
    kind: described.kind ?? usualKind(name, index),
    date: described.date,
    scan: scanAt(opened, described.scan, described.unit),
    landmarks: placed(described, [name]) ?? (shared === null ? [] : (named(shared, name) ?? [])),
    details: {
      ...details,
      teeth: Object.entries(details.teeth).map(([tooth, state]) => ({ tooth: Number(tooth), state })),
      crossbite: Object.entries(details.crossbite).map(([tooth, relation]) => ({ tooth: Number(tooth), relation })),
    },
    appliancePainted: painted(described.appliancePainted),
    referencePainted: painted(described.referencePainted),
    lower:
      lower === null
        ? null
        : {
            scan: scanAt(opened, lower.scan, lower.unit),
            landmarks: placed(lower, [lowerScanName(name), "lower", name]) ?? [],
          },
    repeats: repeats.map((repeat) => ({ examiner: repeat.examiner, landmarks: placed(repeat, [name]) ?? [] })),
  };
}

function scanAt({ scans }: OpenedFiles, path: string, unit: Unit | undefined): CaseScan | null {
  const scan = scans.get(path) ?? null;
  return scan === null ? null : { sha256: scan.sha256, fileName: scan.fileName, unit: unit ?? USUAL_UNIT };
}

function marksAt({ marks }: OpenedFiles, path: string): Marks {
  const found = marks.get(path);
  if (found !== undefined) return found;
  throw new RapheError({
    code: "marks-missing-scan",
    subject: path,
    problem: "the landmark file was not opened",
    remedy: "Check the path in the case file",
  });
}

/** A landmark file may write a timepoint's name with hyphens for blanks. */
export const sameName = (inFile: string, name: string): boolean =>
  inFile === name || inFile.replaceAll("-", " ") === name;

/** The landmarks that a file has under a name, or null. */
function named(marks: Marks, name: string): Landmark[] | null {
  const entry = marks.scans[name] ?? Object.entries(marks.scans).find(([inFile]) => sameName(inFile, name))?.[1];
  return entry?.landmarks ?? null;
}

/**
 * The landmarks of a file that is given for one scan: by one of its names, else the only ones in it.
 * @throws RapheError `marks-missing-scan`
 */
export function landmarksFor(marks: Marks, names: readonly string[], path: string): Landmark[] {
  for (const name of names) {
    const found = named(marks, name);
    if (found !== null) return found;
  }
  const entries = Object.values(marks.scans);
  if (entries.length === 1) return entries[0]!.landmarks;
  throw new RapheError({
    code: "marks-missing-scan",
    subject: path,
    problem: `it has landmarks for ${listed(Object.keys(marks.scans))}, but not for ${names[0]}`,
    remedy: "Correct the name in the landmark file",
  });
}

const listed = (names: readonly string[]): string => (names.length === 0 ? "no scan" : names.join(", "));

/** A name that no timepoint has is most likely mistyped, and its landmarks would be missing without a word. */
function checkNames(marks: Marks, names: readonly string[], path: string): void {
  const strays = Object.keys(marks.scans).filter((inFile) => !names.some((name) => sameName(inFile, name)));
  if (strays.length === 0) return;
  throw new RapheError({
    code: "marks-missing-scan",
    subject: path,
    problem: `it has landmarks for ${listed(strays)}, but the case has no such timepoint`,
    remedy: `Correct the name; the timepoints are ${listed(names)}`,
  });
}

function paintedArea(path: string | null, scan: string, { scans, painted }: OpenedFiles): PaintedArea | null {
  const under = scans.get(scan) ?? null;
  if (path === null || under === null) return null;
  const bytes = painted.get(path);
  if (bytes === undefined) {
    throw new RapheError({
      code: "case-malformed",
      subject: path,
      problem: "the painted area was not opened",
      remedy: "Check the path in the case file",
    });
  }
  const { sha256, triangles } = readPainted(bytes, under.triangles, { name: path });
  return { sha256, triangles };
}
