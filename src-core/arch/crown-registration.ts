import { type ErrorParts, errorParts, RapheError } from "../errors";
import { apply, type RigidTransform } from "../geometry/rigid-transform";
import { add, addScaled, centroid, distance, scale, subtract, type Vector3 } from "../geometry/vector";
import { type JobControl, partOf, UNWATCHED } from "../job-control";
import { withoutMasked } from "../mesh/masked-surface";
import { landmarkStart, type Mark } from "../registration/landmark-start";
import type { RegistrationSurface } from "../registration/registration-surface";
import type { RigidFit } from "../registration/rigid-fit";
import { rigidIcp } from "../registration/rigid-icp";
import { coveredShare, coveredShareThere } from "./covered-crown";
import { type CrownFrame, crownFrames, type FrameMark } from "./crown-frame";
import { crownPatch, verticesInFrame } from "./crown-patch";
import type { LandmarkInUse } from "./landmarks-in-use";
import { isRight } from "./teeth";

/** One scan whose crowns are registered. */
export interface CrownScan {
  readonly surface: RegistrationSurface;
  /** File coordinates (mm) → arch frame. */
  readonly toFrame: RigidTransform;
  readonly marks: readonly LandmarkInUse[];
  /** The timepoint's name, for reasons. */
  readonly name: string;
  /** Teeth that a bonded splint covers: their crowns cannot be seen. */
  readonly splinted?: readonly number[] | undefined;
}

/** Why a crown has no motion to be trusted. */
export interface CrownRefusal {
  readonly code: "crown-too-little-covered" | "crown-changed" | "registration-failed" | "masked";
  readonly text: string;
}

/** One crown registered from the earlier scan to the later one. */
export interface CrownRegistration {
  readonly frame: CrownFrame;
  /** Middle of the crown's surface, what an appliance covers of it included; earlier file coordinates, mm. */
  readonly middle: Vector3;
  readonly result:
    | { readonly state: "fitted"; readonly fit: RigidFit }
    | { readonly state: "refused"; readonly reason: CrownRefusal };
}

/** Less of the crown than this on the later scan is too little. */
const LEAST_OVERLAP = 0.6;
/**
 * A crown is enamel and does not change its shape: where less than this share of it matches, or what matches lies more
 * loosely than this (mm, root mean square), it was restored, is covered, or is badly scanned (conventions, no source).
 */
const LEAST_INLIERS = 0.7;
const LOOSEST = 0.1;
/** Landmarks placed on both scans may lie this far apart after registration before it is another tooth's, mm. */
const FARTHEST_LANDMARKS = 1.5;
/** A crown that moved farther than this against its half of the palate is taken for another tooth, mm (a convention). */
const FARTHEST_FROM_HALF = 5;

/**
 * Registers every upper crown that has landmarks on the earlier scan: its patch (`crownPatch`) by robust ICP, started
 * from the motion of its half, shifted on to its own landmarks where both scans have them. Without its half's motion the
 * start comes from the landmarks of its side, else of the arch. What is masked on either scan takes no part; a crown of
 * which too little is left is refused with `masked`.
 * @param halves earlier → later file coordinates of the palatal halves; null where not registered
 * @param wanted which teeth; all if left out
 * @throws RapheError `cancelled`
 */
export function registerCrowns(
  first: CrownScan,
  second: CrownScan,
  halves: { readonly right: RigidTransform | null; readonly left: RigidTransform | null },
  job: JobControl = UNWATCHED,
  wanted: (tooth: number) => boolean = () => true,
): CrownRegistration[] {
  const marks = first.marks.flatMap(({ tooth, place, inFrame }): FrameMark[] =>
    inFrame === null ? [] : [{ tooth, place, at: inFrame }],
  );
  const frames = crownFrames(marks);
  const chosen = frames.filter(({ tooth }) => wanted(tooth));
  const inFrame = verticesInFrame(first.surface, first.toFrame);
  const { positions } = first.surface.mesh;
  return chosen.map((frame, i) => {
    const patch = crownPatch(first.surface, first.toFrame, inFrame, frame, frames, marks);
    const points: Vector3[] = [];
    for (let v = 0; v < patch.length; v++) {
      if (patch[v] === 1) points.push([positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!]);
    }
    const middle = points.length === 0 ? ([0, 0, 0] as const) : centroid(points);
    const own = partOf(job, i / chosen.length, (i + 1) / chosen.length);
    const name = `The crown of ${frame.tooth}`;
    const region = withoutMasked(first.surface, patch);
    const hidden = splinted(frame.tooth, first, second) ?? covered(coveredShare(first.surface, patch, region), first);
    if (hidden !== null) return { frame, middle, result: { state: "refused", reason: hidden } };
    let start: RigidTransform | null = null;
    const coveredThere = (motion: RigidTransform): CrownRefusal | null =>
      covered(coveredShareThere(first.surface, patch, second.surface, motion), second);
    try {
      start = startOf(frame.tooth, first, second, halves, name);
      const fit = rigidIcp({
        moving: first.surface,
        fixed: second.surface,
        start,
        region,
        robustness: "tukey",
        name,
        toFrame: second.toFrame,
        job: own,
      });
      const half = isRight(frame.tooth) ? halves.right : halves.left;
      const refusal = refusalOf(frame.tooth, fit, first, second) ?? strayed(fit, middle, half);
      const reason = refusal === null ? null : (coveredThere(fit.transform) ?? refusal);
      return { frame, middle, result: reason === null ? { state: "fitted", fit } : { state: "refused", reason } };
    } catch (thrown) {
      if (thrown instanceof RapheError && thrown.code === "cancelled") throw thrown;
      const reason = (start === null ? null : coveredThere(start)) ?? refused(errorParts(thrown, name));
      return { frame, middle, result: { state: "refused", reason } };
    }
  });
}

const refused = ({ code, problem }: ErrorParts): CrownRefusal =>
  code === "too-few-points"
    ? { code: "crown-too-little-covered", text: `too little of the crown is on the scan: ${problem}` }
    : { code: "registration-failed", text: `the crown could not be registered: ${problem}` };

/** A crown under a bonded splint is not measurable, painted or not. */
function splinted(tooth: number, ...scans: readonly CrownScan[]): CrownRefusal | null {
  const under = scans.find((scan) => scan.splinted?.includes(tooth));
  if (under === undefined) return null;
  return {
    code: "masked",
    text: `not measurable: a bonded splint covers the crown on the ${under.name} scan; a scan without the splint would show it`,
  };
}

/** Why too little of a crown is left where an appliance covers this share of it on a scan; null where enough is. */
function covered(share: number, scan: CrownScan): CrownRefusal | null {
  if (share <= 1 - LEAST_OVERLAP) return null;
  return {
    code: "masked",
    text: `an appliance covers ${percent(share)} of the crown on the ${scan.name} scan, at most ${percent(1 - LEAST_OVERLAP)} may be: wipe what was painted too wide, or use a scan without the appliance`,
  };
}

const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;

function refusalOf(tooth: number, fit: RigidFit, first: CrownScan, second: CrownScan): CrownRefusal | null {
  if (fit.overlap < LEAST_OVERLAP) {
    return {
      code: "crown-too-little-covered",
      text: `only ${percent(fit.overlap)} of the crown are found on the later scan, ${percent(LEAST_OVERLAP)} are needed: too little was scanned, or its shape changed`,
    };
  }
  const matching = fit.inlierShare / fit.overlap;
  if (matching < LEAST_INLIERS || fit.rms > LOOSEST) {
    return {
      code: "crown-changed",
      text: `the crown changed between the scans (${percent(matching)} of it match, to ${fit.rms.toFixed(2)} mm): a restoration, a bracket or band, or a badly scanned crown`,
    };
  }
  const pairs = sharedMarks(tooth, first, second);
  const off = pairs.map(([from, to]) => distance(apply(fit.transform, from), to)).sort((a, b) => a - b);
  const middle = off[Math.floor(off.length / 2)];
  if (middle !== undefined && middle > FARTHEST_LANDMARKS) {
    return {
      code: "registration-failed",
      text: `the registered crown lies ${middle.toFixed(1)} mm from the landmarks placed on it: check that they are on the same tooth`,
    };
  }
  return null;
}

/** A crown that left its half by more than a tooth can is not the same tooth. */
function strayed(fit: RigidFit, middle: Vector3, half: RigidTransform | null): CrownRefusal | null {
  const away = half === null ? 0 : distance(apply(fit.transform, middle), apply(half, middle));
  if (away <= FARTHEST_FROM_HALF) return null;
  return {
    code: "registration-failed",
    text: `the crown would have moved ${away.toFixed(1)} mm against its half of the palate: check that its landmarks are on the same tooth on both scans`,
  };
}

/** Landmarks of a crown's enamel that both scans have; gingival points do not belong to it. */
function sharedMarks(tooth: number, first: CrownScan, second: CrownScan): (readonly [Vector3, Vector3])[] {
  return first.marks.flatMap((mark) => {
    if (mark.tooth !== tooth || mark.place.includes("gingival") || mark.how === "carried") return [];
    const partner = second.marks.find((m) => m.tooth === tooth && m.place === mark.place && m.how !== "carried");
    return partner === undefined ? [] : [[mark.used, partner.used] as const];
  });
}

function startOf(
  tooth: number,
  first: CrownScan,
  second: CrownScan,
  halves: { readonly right: RigidTransform | null; readonly left: RigidTransform | null },
  name: string,
): RigidTransform {
  const start =
    (isRight(tooth) ? halves.right : halves.left) ?? startFromLandmarks(isRight(tooth), first, second, name);
  const pairs = sharedMarks(tooth, first, second);
  if (pairs.length === 0) return start;
  const off = scale(
    pairs.reduce((sum, [from, to]) => add(sum, subtract(to, apply(start, from))), [0, 0, 0] as Vector3),
    1 / pairs.length,
  );
  return { ...start, translation: addScaled(start.translation, off, 1) };
}

function startFromLandmarks(right: boolean, first: CrownScan, second: CrownScan, name: string): RigidTransform {
  const marksOf = (scan: CrownScan, side: boolean): Mark[] =>
    scan.marks.flatMap(({ tooth, place, used }) =>
      tooth === null ? [] : side && isRight(tooth) !== right ? [] : [{ tooth, place, at: used }],
    );
  try {
    return landmarkStart(marksOf(first, true), marksOf(second, true), name).transform;
  } catch {
    return landmarkStart(marksOf(first, false), marksOf(second, false), name).transform;
  }
}
