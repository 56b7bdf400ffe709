import type { Landmark, Place } from "#core/arch/landmark";
import type { FileTicket, StartInfo } from "#core/bridge/index";
import { type CaseDocument, emptyCase, scansOf } from "#core/case/case-document";
import { beginHistory, type CaseHistory } from "#core/case/history";
import type { CaseScan, Timepoint } from "#core/case/timepoint";
import type { ErrorParts } from "#core/errors";
import type { DisplayMesh, JobAnswer, PaintedBits, ScanHandle } from "#core/jobs/job-list";
import type { IntakeReport } from "#core/scan/intake-report";

/** A scan that the worker holds: how to name it there, its copy for drawing, and the ticket it came by. */
export interface HeldScan {
  readonly handle: ScanHandle;
  readonly scan: CaseScan;
  readonly ticket: FileTicket;
  readonly report: IntakeReport;
  readonly display: DisplayMesh;
}

/** Scans are held by file and unit, so that undoing a change of unit finds the mesh again. */
export const scanKey = (scan: CaseScan): string => `${scan.sha256} ${scan.unit}`;

/** What was measured, and the case and scans that it was measured on. */
export interface Measured extends Readonly<JobAnswer<"measure">> {
  readonly document: CaseDocument;
  /** null where that timepoint has no scan yet. */
  readonly earlier: HeldScan | null;
  readonly later: HeldScan | null;
}

/** The distance map of one measurement. */
export interface MeasuredDistances extends Readonly<JobAnswer<"distance-map">> {
  readonly of: Measured;
  readonly under: MapUnder;
}

/** Long work that is shown with its progress and can be stopped. */
export interface Work {
  readonly id: number;
  readonly words: string;
  readonly share: number;
  readonly doing: string | null;
  stop(): void;
}

/** An error that the user has not put away yet. */
export interface Trouble {
  readonly id: number;
  readonly error: ErrorParts;
}

export type Saved =
  | { readonly state: "nothing" }
  | { readonly state: "saving" }
  | { readonly state: "saved"; readonly at: string }
  | { readonly state: "failed"; readonly error: ErrorParts };

/** A landmark that is to be placed. */
export interface Target {
  readonly timepoint: string;
  readonly tooth?: number | undefined;
  readonly place: Place;
}

/** The registrations under which a distance map can be seen, in the order of the readings. */
export const MAP_UNDER = ["whole", "right", "left"] as const;
export type MapUnder = (typeof MAP_UNDER)[number];

/** What is painted on the stage. */
export interface Painting {
  readonly timepoint: string;
  readonly area: "appliance" | "reference";
  /** Radius of the brush, mm. */
  readonly radius: number;
  /** The region that would be proposed, per triangle; null while it is not known or cannot be proposed. */
  readonly proposed: Uint8Array | null;
}

/** From where the stage looks at the arch. */
export const LOOKS = ["below", "front", "right", "left"] as const;
export type Look = (typeof LOOKS)[number];

/** What is looked at; nothing of it belongs to the case. */
export interface View {
  /** The row that is open, by pair and level. */
  readonly openRow: string | null;
  readonly show: "overlay" | "distance";
  /** Under which registration the distance map is seen. */
  readonly mapUnder: MapUnder;
  /** Asked anew by a new object, so that the same look can be asked twice. */
  readonly look: { readonly from: Look };
  /** False as soon as the user turned the stage by hand. */
  readonly lookHeld: boolean;
  readonly placing: Target | null;
  readonly painting: Painting | null;
  readonly selected: { readonly timepoint: string; readonly landmark: Landmark } | null;
  /** Spots that the user passed over, because the tooth is not there. */
  readonly passedOver: readonly string[];
  /** First of two timepoints that are being chosen on the time line. */
  readonly spanFrom: string | null;
}

/** A case that was left for a new one, to go back to. */
export type LeftCase = Pick<Workspace, "caseId" | "history" | "scans">;

export interface Workspace {
  readonly start: StartInfo | null;
  readonly caseId: string;
  readonly history: CaseHistory;
  readonly scans: ReadonlyMap<string, HeldScan>;
  /** The bits of every area that was painted or brought back, by their hash; undone ones stay. */
  readonly painted: PaintedBits;
  readonly work: readonly Work[];
  readonly measured: Measured | null;
  /** Why nothing could be measured, where the worker gave an error. */
  readonly measureError: ErrorParts | null;
  readonly distances: MeasuredDistances | null;
  readonly troubles: readonly Trouble[];
  readonly saved: Saved;
  /** Said quietly after a start: that the last case goes on, and what of it is not there. */
  readonly continued: boolean;
  /** Where the last sheet went. */
  readonly issued: { readonly folder: string; readonly parent: string } | null;
  readonly left: LeftCase | null;
  readonly view: View;
}

export const FIRST_VIEW: View = {
  openRow: null,
  show: "overlay",
  mapUnder: "whole",
  look: { from: "below" },
  lookHeld: true,
  placing: null,
  painting: null,
  selected: null,
  passedOver: [],
  spanFrom: null,
};

/** The workspace with an empty case. */
export function beginWorkspace(): Workspace {
  return {
    start: null,
    caseId: crypto.randomUUID(),
    history: beginHistory(emptyCase()),
    scans: new Map(),
    painted: {},
    work: [],
    measured: null,
    measureError: null,
    distances: null,
    troubles: [],
    saved: { state: "nothing" },
    continued: false,
    issued: null,
    left: null,
    view: FIRST_VIEW,
  };
}

/** A timepoint of the case by its name. */
export const timepointOf = (document: CaseDocument, name: string): Timepoint | undefined =>
  document.timepoints.find((timepoint) => timepoint.name === name);

/** The scan that the worker holds for a timepoint, if it has been opened. */
export function heldFor(workspace: Workspace, timepoint: string): HeldScan | null {
  const scan = timepointOf(workspace.history.now, timepoint)?.scan ?? null;
  return scan === null ? null : (workspace.scans.get(scanKey(scan)) ?? null);
}

/** The worker's handles of all scans that are held, by the names that jobs know them by. */
export function heldHandles(workspace: Workspace): Record<string, ScanHandle> {
  const handles: Record<string, ScanHandle> = {};
  for (const { of, scan } of scansOf(workspace.history.now)) {
    const held = workspace.scans.get(scanKey(scan));
    if (held !== undefined) handles[of] = held.handle;
  }
  return handles;
}

/** Whether nothing has been brought into the case yet. */
export const isEmpty = (document: CaseDocument): boolean =>
  document.timepoints.every((timepoint) => timepoint.scan === null && timepoint.landmarks.length === 0);

/** The worker's handles of the scans that were measured, by timepoint. */
export function handlesOfSpan({ document, earlier, later }: Measured): Record<string, ScanHandle> {
  const { from, to } = document.span;
  return {
    ...(earlier === null ? {} : { [from]: earlier.handle }),
    ...(later === null ? {} : { [to]: later.handle }),
  };
}
