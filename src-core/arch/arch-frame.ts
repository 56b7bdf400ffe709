import { RapheError } from "../errors";
import { fitLine } from "../geometry/line-fit";
import { fitPlane } from "../geometry/plane-fit";
import { apply, fromFrame, type RigidTransform } from "../geometry/rigid-transform";
import { addScaled, cross, dot, length, middle, subtract, unit, type Vector3 } from "../geometry/vector";
import type { Landmark, Place } from "./landmark";

/**
 * The arch's own axes on one scan (patient directions of DICOM PS3.3 C.7.6.2): right-handed, +x to the patient's left,
 * +y to the back, +z to the head; origin on the occlusal plane below the incisive papilla's place on the raphe.
 */
export interface ArchFrame {
  /** File coordinates (mm) → arch frame (mm). */
  readonly toFrame: RigidTransform;
  /** Where it comes from: the raphe, or the teeth alone. */
  readonly source: "raphe" | "teeth";
  /** The same in words, for sheet and screen. */
  readonly label: string;
  /** Root mean square distance of the plane's landmarks from the occlusal plane, mm. */
  readonly planeRms: number;
  /** Length of raphe between its outermost landmarks, mm; 0 where the frame is from the teeth. */
  readonly rapheLength: number;
  /** What carries its occlusal plane. */
  readonly pairs: readonly PlaneSpot[];
}

/** A spot that can carry the occlusal plane: the same set must serve every scan of a comparison. */
export interface PlaneSpot {
  readonly right: number;
  readonly left: number;
  readonly place: Place;
}

/** Pairs of cusp tips for the occlusal plane, the first three preferred, the others where one of those is missing. */
const PLANE_PAIRS: readonly PlaneSpot[] = [
  { right: 13, left: 23, place: "cusp-tip" },
  { right: 14, left: 24, place: "buccal-cusp-tip" },
  { right: 16, left: 26, place: "mesiobuccal-cusp-tip" },
  { right: 15, left: 25, place: "buccal-cusp-tip" },
  { right: 17, left: 27, place: "mesiobuccal-cusp-tip" },
  { right: 53, left: 63, place: "cusp-tip" },
  { right: 54, left: 64, place: "mesiobuccal-cusp-tip" },
  { right: 55, left: 65, place: "mesiobuccal-cusp-tip" },
];

/** Shortest raphe that may set the median plane, mm. */
export const MINIMAL_RAPHE = 10;

const find = (landmarks: readonly Landmark[], tooth: number, place: Place): Vector3 | undefined =>
  landmarks.find((mark) => mark.tooth === tooth && mark.place === place)?.at;

/**
 * The pairs that carry the occlusal plane on every one of the given scans: three where possible, so that the plane
 * stands on the same cusps at each time.
 * @returns two or three pairs, or fewer where the scans have no more in common
 */
export function commonPlanePairs(scans: readonly (readonly Landmark[])[]): readonly PlaneSpot[] {
  const everywhere = PLANE_PAIRS.filter((pair) =>
    scans.every(
      (marks) => find(marks, pair.right, pair.place) !== undefined && find(marks, pair.left, pair.place) !== undefined,
    ),
  );
  return everywhere.slice(0, 3);
}

/**
 * Arch frame of one scan from its landmarks.
 * Occlusal plane: orthogonal least squares (Shakarji 1998) through the cusp tips of `pairs`. Median plane: holds the
 * raphe line (least squares of the raphe landmarks on the occlusal plane) and the plane's normal; without a papilla and
 * two raphe landmarks it goes through the middles of the pairs. The head's direction follows from right, left and front.
 * @param landmarks of the scan, mm in file coordinates
 * @param pairs from `commonPlanePairs` over all scans of the comparison
 * @param scan the timepoint's name, for errors
 * @throws RapheError `landmark-missing` with fewer than two pairs, `frame-degenerate` where the points lie on a line or
 *   the raphe landmarks are less than 10 mm apart
 */
export function archFrame(landmarks: readonly Landmark[], pairs: readonly PlaneSpot[], scan: string): ArchFrame {
  const middles: Vector3[] = [];
  const points: Vector3[] = [];
  let across: Vector3 = [0, 0, 0];
  for (const pair of pairs) {
    const right = find(landmarks, pair.right, pair.place);
    const left = find(landmarks, pair.left, pair.place);
    if (right === undefined || left === undefined) continue;
    points.push(right, left);
    middles.push(middle(right, left));
    across = addScaled(across, subtract(left, right), 1);
  }
  if (middles.length < 2) {
    throw new RapheError({
      code: "landmark-missing",
      subject: scan,
      problem: "the occlusal plane needs the cusp tips of two pairs of teeth",
      remedy: "Place the cusp tips of the canines and of the first molars on both scans",
    });
  }
  const plane = fitPlane(points);
  const back = backwards(middles, pairs);
  // The points spread across and along the arch; where they hardly spread along it, they fix no plane.
  if (length(back) < 8 || length(across) < 8) throw degenerate(scan, "the plane's cusp tips lie nearly on one line");
  const head = dot(plane.normal, cross(across, back)) < 0 ? addScaled([0, 0, 0], plane.normal, -1) : plane.normal;
  const onPlane = (p: Vector3): Vector3 => addScaled(p, head, -dot(subtract(p, plane.centre), head));
  const papilla = landmarks.find((mark) => mark.place === "incisive-papilla")?.at;
  const raphe = landmarks.filter((mark) => mark.place === "median-raphe").map((mark) => mark.at);

  if (papilla !== undefined && raphe.length >= 2) {
    const flat = raphe.map(onPlane);
    const line = fitLine(flat);
    const along = dot(line.direction, back) < 0 ? addScaled([0, 0, 0], line.direction, -1) : line.direction;
    const places = flat.map((p) => dot(subtract(p, line.centre), along));
    const rapheLength = Math.max(...places) - Math.min(...places);
    if (rapheLength < MINIMAL_RAPHE) {
      throw degenerate(
        scan,
        `the raphe landmarks are only ${rapheLength.toFixed(1)} mm apart along the palate, 10 mm are needed`,
      );
    }
    const origin = addScaled(line.centre, along, dot(subtract(onPlane(papilla), line.centre), along));
    return {
      toFrame: fromFrame(origin, unit(cross(along, head)), along),
      source: "raphe",
      label: `frame from ${points.length} cusp tips and the raphe`,
      planeRms: plane.rms,
      rapheLength,
      pairs,
    };
  }
  const flat = middles.map(onPlane);
  const line = fitLine(flat);
  const along = dot(line.direction, back) < 0 ? addScaled([0, 0, 0], line.direction, -1) : line.direction;
  const origin = addScaled(line.centre, along, dot(subtract(flat[0]!, line.centre), along));
  return {
    toFrame: fromFrame(origin, unit(cross(along, head)), along),
    source: "teeth",
    label: "frame from the teeth",
    planeRms: plane.rms,
    rapheLength: 0,
    pairs,
  };
}

/** A point of the scan in its arch frame. */
export const inFrame = (frame: ArchFrame, p: Vector3): Vector3 => apply(frame.toFrame, p);

/** From the middle of the foremost pair to the middle of the hindmost, mm. */
function backwards(middles: readonly Vector3[], pairs: readonly PlaneSpot[]): Vector3 {
  const order = (i: number) => pairs[i]!.right % 10;
  let front = 0;
  let hind = 0;
  for (let i = 1; i < middles.length; i++) {
    if (order(i) < order(front)) front = i;
    if (order(i) > order(hind)) hind = i;
  }
  return subtract(middles[hind]!, middles[front]!);
}

function degenerate(scan: string, problem: string): RapheError {
  return new RapheError({
    code: "frame-degenerate",
    subject: scan,
    problem,
    remedy: "Place them farther apart; straight widths are given without this frame",
  });
}
