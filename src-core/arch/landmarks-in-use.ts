import { RapheError } from "../errors";
import { invert, rotate } from "../geometry/rigid-transform";
import { add, dot, length, scale, unit, type Vector3 } from "../geometry/vector";
import { closestPoint, newClosestPoint } from "../mesh/closest-point";
import type { Surface } from "../mesh/surface";
import { type ArchFrame, archFrame, inFrame, type PlaneSpot } from "./arch-frame";
import type { CarriedError } from "./carried-error";
import { type Landmark, type Place, sameSpot } from "./landmark";
import { exchangedArch, exchangedTeeth, onWrongSide, RIGHT_AND_LEFT, wrongSideError } from "./sides";
import { type SnapKind, snapLandmark } from "./snap";

/** A landmark as placed and as used, mm in file coordinates; `inFrame` mm in the arch frame, null without one. */
export interface LandmarkInUse {
  readonly tooth: number | null;
  readonly place: Place;
  readonly placed: Vector3;
  readonly used: Vector3;
  readonly inFrame: Vector3 | null;
  /** How `used` came about; a carried point was placed on another scan, and `placed` is `used`. */
  readonly how: SnapKind | "carried";
  /** For carried points. */
  readonly carried?: CarriedError;
}

/** The landmarks of one scan, ready to measure with. */
export interface ScanLandmarks {
  readonly frame: ArchFrame | null;
  readonly inUse: readonly LandmarkInUse[];
  /** Landmarks that stand on nothing, with the reason. */
  readonly faults: readonly { readonly landmark: Landmark; readonly error: RapheError }[];
  /** What went wrong with the frame, or with how right and left lie. */
  readonly notices: readonly { readonly code: string; readonly text: string }[];
}

/**
 * Finds the spots that the placed landmarks mean, and the arch frame from them. 'Highest' needs a frame and the frame
 * needs the points, so the frame of the placed points comes first and the spots are looked for twice. Landmarks of teeth
 * on the wrong side of the arch are faults.
 * @param landmarks as placed; of two on the same spot the later counts
 * @param pairs that carry the occlusal plane on every scan of the comparison
 * @param scan the timepoint's name
 */
export function landmarksInUse(
  surface: Surface,
  landmarks: readonly Landmark[],
  pairs: readonly PlaneSpot[],
  scan: string,
): ScanLandmarks {
  const single = landmarks.filter((mark, i) => !landmarks.slice(i + 1).some((later) => sameSpot(mark, later)));
  const rough = frameOf(single, pairs, scan);
  const first = lookUp(surface, single, occlusalOf(rough.frame, surface, single), scan);
  const better = frameOf(first.marks, pairs, scan);
  const second = lookUp(surface, single, occlusalOf(better.frame ?? rough.frame, surface, single), scan);
  const { frame, notices } = frameOf(second.marks, pairs, scan);
  if (frame === null) {
    return { frame, inUse: second.found.map((one) => ({ ...one, inFrame: null })), faults: second.faults, notices };
  }
  const mirrored = looksMirrored(frame, surface, second.marks);
  const wrong = mirrored ? teethOf(second.marks) : onWrongSide(second.marks, frame);
  const isWrong = (tooth: number | null | undefined): boolean => typeof tooth === "number" && wrong.includes(tooth);
  const said = mirrored ? exchangedArch(scan) : exchangedTeeth(wrong, scan);
  return {
    // A frame that stands on its head serves nothing; single teeth on the wrong side leave the plane as it is.
    frame: mirrored ? null : frame,
    inUse: second.found
      .filter(({ tooth }) => !isWrong(tooth))
      .map((one) => ({ ...one, inFrame: mirrored ? null : inFrame(frame, one.used) })),
    faults: [
      ...second.faults,
      ...single
        .filter((landmark) => isWrong(landmark.tooth) && !second.faults.some((fault) => fault.landmark === landmark))
        .map((landmark) => ({ landmark, error: wrongSideError(scan) })),
    ],
    notices: wrong.length === 0 ? notices : [...notices, { code: RIGHT_AND_LEFT, text: said }],
  };
}

const teethOf = (marks: readonly Landmark[]): number[] => marks.flatMap(({ tooth }) => tooth ?? []);

/** Direction towards the opposite arch for an upper scan: from the frame, else the way the placed cusps face. */
export function occlusalOf(frame: ArchFrame | null, surface: Surface, landmarks: readonly Landmark[]): Vector3 | null {
  if (frame !== null) return scale(headOf(frame), -1);
  let sum: Vector3 = [0, 0, 0];
  for (const mark of landmarks) if (mark.place.endsWith("cusp-tip")) sum = add(sum, facing(surface, mark.at));
  return length(sum) < 1e-6 ? null : unit(sum);
}

/** Unit direction to the head in file coordinates. */
export const headOf = (frame: ArchFrame): Vector3 => rotate(invert(frame.toFrame), [0, 0, 1]);

/** Which way the surface near a point faces. */
function facing(surface: Surface, p: Vector3): Vector3 {
  const found = newClosestPoint();
  closestPoint(surface.tree, p[0], p[1], p[2], found);
  const v = surface.mesh.triangles[3 * found.triangle]!;
  const n = surface.normals;
  return [n[3 * v]!, n[3 * v + 1]!, n[3 * v + 2]!];
}

/** True where cusp tips face the head on the whole: right and left are exchanged, or the data are mirrored. */
function looksMirrored(frame: ArchFrame, surface: Surface, marks: readonly Landmark[]): boolean {
  const head = headOf(frame);
  let sum = 0;
  for (const mark of marks) if (mark.place.endsWith("cusp-tip")) sum += dot(facing(surface, mark.at), head);
  return sum > 0;
}

interface Found {
  tooth: number | null;
  place: Place;
  placed: Vector3;
  used: Vector3;
  how: SnapKind;
}

/**
 * The landmarks of a scan whose frame is known from elsewhere: those placed, looked up in it, and those carried to it.
 * @param landmarks as placed on this scan; none of them on the spot of a carried one
 * @param otherwise its frame where these landmarks give none by `pairs`
 */
export function landmarksWithCarried(
  surface: Surface,
  landmarks: readonly Landmark[],
  carried: readonly Omit<LandmarkInUse, "inFrame">[],
  pairs: readonly PlaneSpot[],
  occlusal: Vector3,
  otherwise: ArchFrame | null,
  scan: string,
): ScanLandmarks {
  const single = landmarks.filter((mark, i) => !landmarks.slice(i + 1).some((later) => sameSpot(mark, later)));
  const { found, faults } = lookUp(surface, single, occlusal, scan);
  const all: Omit<LandmarkInUse, "inFrame">[] = [...found, ...carried];
  const own = frameOf(all.map(asLandmark), pairs, scan);
  const frame = own.frame ?? otherwise;
  const notices = own.frame === null && otherwise !== null ? [] : own.notices;
  return {
    frame,
    inUse: all.map((one) => ({ ...one, inFrame: frame === null ? null : inFrame(frame, one.used) })),
    faults,
    notices,
  };
}

/** A landmark in use as one that stands where it is used. */
export const asLandmark = ({ tooth, place, used }: Pick<LandmarkInUse, "tooth" | "place" | "used">): Landmark => ({
  ...(tooth === null ? {} : { tooth }),
  place,
  at: [...used],
});

/** Each landmark's spot; without a direction they are dropped onto the surface only. */
export function lookUp(surface: Surface, landmarks: readonly Landmark[], occlusal: Vector3 | null, scan: string) {
  const found: Found[] = [];
  const marks: Landmark[] = [];
  const faults: { landmark: Landmark; error: RapheError }[] = [];
  for (const landmark of landmarks) {
    try {
      const asked =
        occlusal === null && landmark.snap !== false ? { ...landmark, place: "median-raphe" as const } : landmark;
      const { at, how } = snapLandmark(surface, asked, occlusal ?? [0, 0, 1], scan);
      found.push({ tooth: landmark.tooth ?? null, place: landmark.place, placed: landmark.at, used: at, how });
      marks.push({ ...landmark, at: [...at] });
    } catch (thrown) {
      if (!(thrown instanceof RapheError)) throw thrown;
      faults.push({ landmark, error: thrown });
    }
  }
  return { found, marks, faults };
}

/** The frame with the raphe where that can be had; where the raphe is at fault, from the teeth, and said so. */
export function frameOf(landmarks: readonly Landmark[], pairs: readonly PlaneSpot[], scan: string) {
  const notices: { code: string; text: string }[] = [];
  const tryFrame = (marks: readonly Landmark[]): ArchFrame | null => {
    try {
      return archFrame(marks, pairs, scan);
    } catch (thrown) {
      if (!(thrown instanceof RapheError)) throw thrown;
      notices.push({ code: thrown.code, text: thrown.message });
      return null;
    }
  };
  const frame = tryFrame(landmarks);
  if (frame !== null) return { frame, notices };
  const withoutRaphe = landmarks.filter((mark) => mark.place !== "median-raphe");
  return withoutRaphe.length < landmarks.length && pairs.length >= 2
    ? { frame: tryFrame(withoutRaphe), notices }
    : { frame: null, notices };
}
