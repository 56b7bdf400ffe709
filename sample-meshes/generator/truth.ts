import { atan, DEGREES } from "#core/geometry/real";
import { compose, invert, type RigidTransform, rotationVector } from "#core/geometry/rigid-transform";
import { distance, type Vector3 } from "#core/geometry/vector";

/** A landmark of a scan in file coordinates (mm). */
export interface TrueLandmark {
  readonly tooth?: number;
  readonly place: string;
  /** The point of the before scan, carried with its crown or with the palate. */
  readonly material: Vector3;
  /** The point an examiner would find anew on this scan. */
  readonly refound: Vector3;
}

/** One scan's truth. */
export interface ScanTruth {
  readonly name: string;
  readonly file: string;
  readonly triangles: number;
  /** 4 × 4 rows, mm: model frame → file, file → arch frame of this scan. */
  readonly pose: readonly (readonly number[])[];
  readonly archFrame: readonly (readonly number[])[];
  readonly landmarks: readonly TrueLandmark[];
}

/** The rigid motions of one scan against the before scan, file coordinates before → this scan, 4 × 4 rows. */
export interface MotionTruth {
  readonly right: readonly (readonly number[])[];
  readonly left: readonly (readonly number[])[];
  readonly teeth: Readonly<Record<string, readonly (readonly number[])[]>>;
  /** The left half against the right in the before scan's arch frame, degrees: opening angle, roll, pitch. */
  readonly halves: {
    readonly openingAngle: number;
    readonly roll: number;
    readonly pitch: number;
    readonly hinge: Vector3 | null;
  };
}

/** Straight widths of one pair at one level, mm. */
export interface WidthTruth {
  readonly pair: string;
  readonly level: "cusp" | "fossa" | "gingival";
  readonly place: string;
  readonly widths: Readonly<Record<string, { readonly material: number; readonly refound: number }>>;
}

/** What the change of width does along the arch, of noise-free points; stations and changes in mm. */
export interface PatternTruth {
  readonly level: "cusp" | "gingival";
  readonly from: string;
  readonly to: string;
  readonly definition: "material" | "refound";
  /** Fitted change at the canines' and at the first molars' station and their difference D. */
  readonly atCanines: number;
  readonly atMolars: number;
  readonly difference: number;
  readonly openingAngleOfTheTeeth: number;
  readonly verdict: "fan-front" | "fan-back" | "parallel" | "no-change" | "narrowed";
}

export const matrixOf = (t: RigidTransform): number[][] => [
  [t.rotation[0], t.rotation[1], t.rotation[2], t.translation[0]],
  [t.rotation[3], t.rotation[4], t.rotation[5], t.translation[1]],
  [t.rotation[6], t.rotation[7], t.rotation[8], t.translation[2]],
  [0, 0, 0, 1],
];

const PAIRS: readonly (readonly [place: number, level: WidthTruth["level"], name: string])[] = [
  [3, "cusp", "cusp-tip"],
  [4, "cusp", "buccal-cusp-tip"],
  [5, "cusp", "buccal-cusp-tip"],
  [6, "cusp", "mesiobuccal-cusp-tip"],
  [7, "cusp", "mesiobuccal-cusp-tip"],
  [6, "fossa", "central-fossa"],
  [7, "fossa", "central-fossa"],
  [3, "gingival", "palatal-gingival"],
  [4, "gingival", "palatal-gingival"],
  [5, "gingival", "palatal-gingival"],
  [6, "gingival", "palatal-gingival"],
  [7, "gingival", "palatal-gingival"],
];

const find = (scan: ScanTruth, tooth: number, place: string): TrueLandmark =>
  scan.landmarks.find((l) => l.tooth === tooth && l.place === place)!;

/** Straight widths of every pair and level on every scan. */
export function trueWidths(scans: readonly ScanTruth[]): WidthTruth[] {
  return PAIRS.map(([n, level, place]) => ({
    pair: `${n}-${n}`,
    level,
    place,
    widths: Object.fromEntries(
      scans.map((scan) => {
        const right = find(scan, 10 + n, place);
        const left = find(scan, 20 + n, place);
        return [
          scan.name,
          { material: distance(right.material, left.material), refound: distance(right.refound, left.refound) },
        ];
      }),
    ),
  }));
}

/**
 * The pattern by an unweighted line through the changes of the five pairs against their antero-posterior position on the
 * `from` scan; without errors the verdict is a matter of the fitted values alone (limits 1.0 and 0.5 mm).
 */
export function truePattern(
  from: ScanTruth,
  to: ScanTruth,
  widths: readonly WidthTruth[],
  level: "cusp" | "gingival",
  definition: "material" | "refound",
): PatternTruth {
  const frame = from.archFrame;
  const y = (p: Vector3) => frame[1]![0]! * p[0] + frame[1]![1]! * p[1] + frame[1]![2]! * p[2] + frame[1]![3]!;
  const points = widths
    .filter((w) => w.level === level)
    .map((w) => {
      const n = Number(w.pair[0]);
      const station = (y(find(from, 10 + n, w.place).refound) + y(find(from, 20 + n, w.place).refound)) / 2;
      return { n, station, change: w.widths[to.name]![definition] - w.widths[from.name]![definition] };
    });
  const meanY = points.reduce((s, p) => s + p.station, 0) / points.length;
  const meanChange = points.reduce((s, p) => s + p.change, 0) / points.length;
  const slope =
    points.reduce((s, p) => s + (p.station - meanY) * (p.change - meanChange), 0) /
    points.reduce((s, p) => s + (p.station - meanY) * (p.station - meanY), 0);
  const at = (n: number) => meanChange + slope * (points.find((p) => p.n === n)!.station - meanY);
  const [atCanines, atMolars] = [at(3), at(6)];
  const difference = atCanines - atMolars;
  const verdict =
    Math.abs(atCanines) < 0.5 && Math.abs(atMolars) < 0.5
      ? "no-change"
      : meanChange < 0
        ? "narrowed"
        : difference > 1
          ? "fan-front"
          : difference < -1
            ? "fan-back"
            : "parallel";
  return {
    level,
    from: from.name,
    to: to.name,
    definition,
    atCanines,
    atMolars,
    difference,
    openingAngleOfTheTeeth: openingAngleOf(slope),
    verdict,
  };
}

/** 2·atan(−slope/2) in degrees: positive where the change grows towards the front (−y). */
function openingAngleOf(slope: number): number {
  return 2 * atan(-slope / 2) * DEGREES;
}

/**
 * Motions in file coordinates from those of the model frame. `hinge`: the point of the occlusal plane (arch frame of the
 * before scan, mm) that the left half, seen from the right, turns about; null where it hardly turns.
 */
export function trueMotions(
  model: { right: RigidTransform; left: RigidTransform; teeth: readonly { tooth: number; motion: RigidTransform }[] },
  beforePose: RigidTransform,
  pose: RigidTransform,
  frame: RigidTransform,
): MotionTruth {
  const inFiles = (m: RigidTransform) => compose(pose, compose(m, invert(beforePose)));
  const right = inFiles(model.right);
  const left = inFiles(model.left);
  const relative = compose(frame, compose(compose(invert(right), left), invert(frame)));
  const [wx, wy, wz] = rotationVector(relative);
  return {
    right: matrixOf(right),
    left: matrixOf(left),
    teeth: Object.fromEntries(model.teeth.map((t) => [String(t.tooth), matrixOf(inFiles(t.motion))])),
    halves: { openingAngle: wz * DEGREES, roll: -wy * DEGREES, pitch: wx * DEGREES, hinge: hingeOf(relative, wz) },
  };
}

function hingeOf(relative: RigidTransform, turn: number): Vector3 | null {
  if (Math.abs(turn) * DEGREES < 0.5) return null;
  const r = relative.rotation;
  const t = relative.translation;
  // The fixed point within the occlusal plane z = 0 of the motion's x and y parts.
  const [a, b, c, d] = [1 - r[0], -r[1], -r[3], 1 - r[4]];
  const determinant = a * d - b * c;
  return [(t[0] * d - b * t[1]) / determinant, (a * t[1] - c * t[0]) / determinant, 0];
}
