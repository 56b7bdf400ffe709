import { apply, compose, fromRotationVector, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import type { ArchField } from "./arch-field";
import type { PlacedLandmark } from "./arch-frame";
import { findLandmarks, palateLandmarks } from "./landmark-finding";
import { clickedLandmarks } from "./marks";
import { Random } from "./random";
import { INVENTED } from "./scan-files";
import { ScanBorder, scanSurface } from "./scan-surface";
import { arbitraryPose, posed, type ScannerTraits, scanned } from "./scanner";
import type { SurfaceMesh } from "./surface-nets";
import type { PlacedTooth } from "./tooth-placing";
import { halfMotion, NO_TREATMENT, relapsed, type Treatment } from "./treatment";
import {
  type MotionTruth,
  matrixOf,
  type PatternTruth,
  type ScanTruth,
  type TrueLandmark,
  trueMotions,
  truePattern,
  trueWidths,
  type WidthTruth,
} from "./truth";
import { type ArchTraits, NARROW_ARCH, UpperArch } from "./upper-arch";

/** What sample to make; everything but the seed has a default. */
export interface SamplePairOptions {
  readonly seed: number;
  readonly arch?: ArchTraits;
  /** What was done between before and after; default: nothing. */
  readonly treatment?: Treatment;
  /** Shares of the halves' and of the crowns' movement that stay at a third time, 'in-retention'; none if left out. */
  readonly retention?: { readonly halves: number; readonly teeth: number };
  /** About how many triangles each scan has; default 20 000. */
  readonly triangles?: number | Readonly<Record<string, number>>;
  readonly scanner?: ScannerTraits;
  /** Names of the files by scan, as the truth shall give them. */
  readonly files?: Readonly<Record<string, string>>;
  /** Leave every scan in the model frame instead of an arbitrary pose. */
  readonly unposed?: boolean;
}

/** Everything that is known about a sample, as written to truth-….json; documented in sample-meshes/README.md. */
export interface SampleTruth {
  readonly version: 1;
  readonly note: string;
  readonly seed: number;
  readonly scans: Readonly<Record<string, ScanTruth>>;
  readonly widths: readonly WidthTruth[];
  readonly motions: Readonly<Record<string, MotionTruth>>;
  readonly patterns: readonly PatternTruth[];
  readonly treatment: Treatment;
}

/** Landmarks as a person placed them, the content of marks-….json. */
export interface SampleMarks {
  readonly version: 1;
  readonly scans: Readonly<Record<string, { readonly landmarks: readonly PlacedLandmark[] }>>;
}

export interface SamplePair {
  /** Scans by name (before, after, in-retention) in file coordinates, mm. */
  readonly meshes: Readonly<Record<string, SurfaceMesh>>;
  readonly truth: SampleTruth;
  readonly marks: SampleMarks;
}

export const SCANNER: ScannerTraits = { noise: 0.02, holes: 5, fragments: 2 };

interface Stage {
  readonly name: string;
  readonly field: ArchField;
  readonly right: RigidTransform;
  readonly left: RigidTransform;
  readonly teeth: readonly PlacedTooth[];
  readonly soft: { after(p: readonly [number, number, number]): readonly [number, number, number] } | null;
}

/** Makes the scans of one invented patient with their truth; the same options give the same numbers everywhere. */
export function makeSamplePair(options: SamplePairOptions): SamplePair {
  const treatment = options.treatment ?? NO_TREATMENT;
  const arch = new UpperArch(options.arch ?? NARROW_ARCH, options.seed);
  const stages: Stage[] = [
    {
      name: "before",
      field: arch.field,
      right: fromRotationVector([0, 0, 0]),
      left: fromRotationVector([0, 0, 0]),
      teeth: arch.teeth,
      soft: null,
    },
  ];
  const add = (name: string, t: Treatment, unrest: number) =>
    stages.push({ name, ...arch.treated(t, unrest), right: halfMotion(t, false), left: halfMotion(t, true) });
  add("after", treatment, treatment === NO_TREATMENT ? 0 : 1);
  if (options.retention !== undefined) {
    add("in-retention", relapsed(treatment, options.retention.halves, options.retention.teeth), 1.4);
  }
  const random = new Random(options.seed ^ 0x5ca7);
  const lastMolar = arch.teeth.find((t) => t.tooth === 26)!.origin[1];
  const palate = palateLandmarks(arch.field, lastMolar - 1);
  const meshes: Record<string, SurfaceMesh> = {};
  const scans: ScanTruth[] = [];
  const motions: Record<string, MotionTruth> = {};
  const marks: Record<string, { landmarks: PlacedLandmark[] }> = {};
  let beforeLandmarks: readonly PlacedLandmark[] = [];
  let before: { pose: RigidTransform; frame: RigidTransform } | null = null;
  for (const [i, stage] of stages.entries()) {
    const own = random.branch(i + 1);
    const pose = options.unposed ? fromRotationVector([0, 0, 0]) : arbitraryPose(own.branch(1));
    const palateNow = palate.map((l) => ({
      ...l,
      at: stage.soft === null ? l.at : (stage.soft.after(l.at) as typeof l.at),
    }));
    const found = findLandmarks(stage.field, palateNow);
    if (i === 0) beforeLandmarks = found.landmarks;
    const modelLandmarks = found.landmarks.map((l, n): TrueLandmark => {
      const first = beforeLandmarks[n]!;
      const tooth = stage.teeth.find((t) => t.tooth === l.tooth);
      const material = tooth === undefined ? l.at : apply(tooth.motion, first.at);
      return { ...(l.tooth === undefined ? {} : { tooth: l.tooth }), place: l.place, material, refound: l.at };
    });
    const wanted = typeof options.triangles === "object" ? options.triangles[stage.name] : options.triangles;
    const border = new ScanBorder(arch.backY, null, own.branch(2));
    const surface = scanSurface(
      stage.field,
      border,
      { triangles: wanted ?? 20_000, low: [-38, -11, -11], high: [38, arch.backY + 4, 22] },
      own.branch(3),
    );
    const noisy = scanned(
      surface,
      options.scanner ?? SCANNER,
      modelLandmarks.map((l) => l.refound),
      own.branch(4),
    );
    const mesh = posed(noisy, pose);
    const frameOfFile = compose(found.frame, invert(pose));
    const landmarks = modelLandmarks.map((l) => ({
      ...l,
      material: apply(pose, l.material),
      refound: apply(pose, l.refound),
    }));
    meshes[stage.name] = mesh;
    scans.push({
      name: stage.name,
      file: options.files?.[stage.name] ?? stage.name,
      triangles: mesh.triangles.length / 3,
      pose: matrixOf(pose),
      archFrame: matrixOf(frameOfFile),
      landmarks,
    });
    marks[stage.name] = { landmarks: clickedLandmarks(landmarks, mesh, own.branch(5)) };
    if (before === null) before = { pose, frame: frameOfFile };
    else motions[stage.name] = trueMotions(stage, before.pose, pose, before.frame);
  }
  const widths = trueWidths(scans);
  const patterns = scans.slice(1).flatMap((scan, i) => {
    const from = i === 0 ? scans[0]! : scans[i]!;
    return (["cusp", "gingival"] as const).flatMap((level) =>
      (["material", "refound"] as const).map((definition) => truePattern(from, scan, widths, level, definition)),
    );
  });
  return {
    meshes,
    truth: {
      version: 1,
      note: INVENTED,
      seed: options.seed,
      scans: Object.fromEntries(scans.map((s) => [s.name, s])),
      widths,
      motions,
      patterns,
      treatment,
    },
    marks: { version: 1, scans: marks },
  };
}
