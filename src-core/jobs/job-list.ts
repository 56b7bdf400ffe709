import type { Landmark } from "../arch/landmark";
import type { CaseDocument } from "../case/case-document";
import type { RigidTransform } from "../geometry/rigid-transform";
import type { Vector3 } from "../geometry/vector";
import type { DistanceSummary, Readings, UsedLandmark } from "../readings/readings-document";
import type { IntakeReport } from "../scan/intake-report";
import type { Unit } from "../scan/unit";
import type { PdfFonts } from "../sheet/pdf";

/**
 * The long work that runs beside the window: each job's request and answer, exactly. The worker owns every measuring
 * mesh; callers hold handles and centred single-precision copies for drawing.
 */

/** Names a scan that the worker holds. */
export type ScanHandle = string;

/** The bits of painted areas by their SHA-256, as the case names them: one per triangle of the scan's file. */
export type PaintedBits = Readonly<Record<string, Uint8Array>>;

/** A copy for drawing: single precision, centred, so that no digit is lost far from the origin. */
export interface DisplayMesh {
  /** x, y, z − centre, mm; 3 × vertices, in the order of the measuring mesh. */
  readonly positions: Float32Array;
  /** Unit vertex normals; 3 × vertices. */
  readonly normals: Float32Array;
  /** 3 × triangles. */
  readonly triangles: Uint32Array;
  /** Red, green, blue 0–255 per vertex where the file had colours, else null. */
  readonly colours: Uint8Array | null;
  /** File coordinates (mm) of the display's origin. */
  readonly centre: Vector3;
  /** For each triangle its number in the file, by which painted areas are stored. */
  readonly fileTriangles: Uint32Array;
  /** For each half-edge (3 × triangles) the opposite half-edge, −1 at the border: for outlines. */
  readonly opposite: Int32Array;
  /** Where the surface is hollow (1) or a crest (−1), one number per vertex: for shading. */
  readonly hollow: Float32Array;
  /** Smoothed vertex normals, of no particular length; 3 × vertices: for outlines. */
  readonly calm: Float32Array;
  /** The borders of the surface without small holes: line segments, six numbers each, in the order of half-edges. */
  readonly border: Float32Array;
  /** How far the farthest vertex lies from the display's origin, mm. */
  readonly reach: number;
  /** File coordinates (mm) → about an arch frame, guessed for looking at the scan while it has no landmarks. */
  readonly stand: RigidTransform;
  /** Floating fragments, shown pale and never measured. */
  readonly fragments: { readonly positions: Float32Array; readonly triangles: Uint32Array } | null;
}

export interface Jobs {
  /** Streams a chosen file from `url`, takes it in and keeps it under a handle. */
  "open-scan": {
    request: { url: string; name: string; size: number; unit: Unit };
    answer: { handle: ScanHandle; sha256: string; report: IntakeReport; display: DisplayMesh };
  };
  /** Forgets a scan. */
  "close-scan": { request: { handle: ScanHandle }; answer: null };
  /** Where a click or a placed point really goes: the cusp tip, fossa or margin meant. */
  "snap-landmark": {
    request: {
      handle: ScanHandle;
      landmark: Landmark;
      /** The landmarks the scan has already: they tell where occlusal is. */
      landmarks: readonly Landmark[];
      /** Direction from the surface to the eye (file coordinates), used where the landmarks do not yet give a frame. */
      towardsEye: Vector3;
    };
    answer: { used: Vector3; how: UsedLandmark["how"]; moved: number };
  };
  /** Everything that can be read from the case's chosen span. */
  measure: {
    request: {
      document: CaseDocument;
      handles: Readonly<Record<string, ScanHandle>>;
      /** Of every area that the case names. */
      painted: PaintedBits;
      version: string;
    };
    answer: {
      readings: Readings;
      /** The later scan's file coordinates (mm) → the earlier scan's, for the overlay; null where none could be found. */
      overlay: RigidTransform | null;
      /** The earlier scan's file coordinates → its arch frame, which turns the stage; null without frame. */
      frame: RigidTransform | null;
    };
  };
  /**
   * Signed distance of the span's later scan to the earlier one at each of the later one's display vertices, NaN = no
   * value.
   */
  "distance-map": {
    request: {
      document: CaseDocument;
      handles: Readonly<Record<string, ScanHandle>>;
      painted: PaintedBits;
      /** The later scan's file coordinates (mm) → the earlier scan's. */
      overlay: RigidTransform;
      /** What that overlay comes from. */
      registration: DistanceSummary["registration"];
    };
    answer: { distances: Float32Array; summary: DistanceSummary };
  };
  /** The region of the palate that a scan of the span would be registered by: per triangle of its mesh, 1 = in it. */
  "propose-reference": {
    request: {
      document: CaseDocument;
      handles: Readonly<Record<string, ScanHandle>>;
      painted: PaintedBits;
      timepoint: string;
    };
    answer: { triangles: Uint8Array };
  };
  /** The whole folder of the record: sheet (PDF), readings (JSON, CSV), landmarks (JSON) and pictures (PNG). */
  "make-sheet": {
    request: {
      document: CaseDocument;
      readings: Readings;
      handles: Readonly<Record<string, ScanHandle>>;
      painted: PaintedBits;
      overlay: RigidTransform | null;
      frame: RigidTransform | null;
      /** Clock of this PC when the sheet was asked for, ISO 8601 with seconds, e.g. 2026-11-25T10:42:00Z. */
      issuedAt: string;
      fonts: PdfFonts;
    };
    answer: { files: { name: string; bytes: Uint8Array }[] };
  };
}

export type JobName = keyof Jobs;
export type JobRequest<Name extends JobName> = Jobs[Name]["request"];
export type JobAnswer<Name extends JobName> = Jobs[Name]["answer"];
