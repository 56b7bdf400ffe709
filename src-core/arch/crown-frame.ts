import { add, addScaled, centroid, cross, dot, length, scale, subtract, unit, type Vector3 } from "../geometry/vector";
import { crownSize } from "./crown-sizes";
import type { Place } from "./landmark";
import { isRight, isUpper } from "./teeth";

/** Where an upper crown stands, in the arch frame of its scan (mm; +x to the patient's left, +y back, +z to the head). */
export interface CrownFrame {
  readonly tooth: number;
  /** Middle of the crown. */
  readonly centre: Vector3;
  /** Along the arch form towards the midline, in the occlusal plane. */
  readonly mesial: Vector3;
  /** Across the arch form outwards, in the occlusal plane. */
  readonly buccal: Vector3;
  /** −z. */
  readonly occlusal: Vector3;
}

/** A landmark in the arch frame, mm. */
export interface FrameMark {
  readonly tooth: number | null;
  readonly place: Place;
  readonly at: Vector3;
}

export const OCCLUSAL: Vector3 = [0, 0, -1];

/**
 * Where the places of a crown lie about its middle, as shares of half its mesiodistal and half its buccopalatal size
 * (mesial, buccal): how a crown looks on average, so that its middle can be told from whichever landmarks there are.
 */
const PLACES: Partial<Record<Place, readonly [mesial: number, buccal: number]>> = {
  "cusp-tip": [0, 0.1],
  "buccal-cusp-tip": [0, 0.55],
  "palatal-cusp-tip": [0.1, -0.5],
  "mesiobuccal-cusp-tip": [0.5, 0.6],
  "distobuccal-cusp-tip": [-0.5, 0.55],
  "mesiopalatal-cusp-tip": [0.4, -0.5],
  "distopalatal-cusp-tip": [-0.5, -0.55],
  "central-fossa": [0, 0],
  "buccal-groove": [0, 0.95],
  "incisal-edge-middle": [0, 0.1],
  "mesial-contact": [1, 0.1],
  "distal-contact": [-1, 0],
  "palatal-gingival": [0, -0.9],
  "buccal-gingival-zenith": [0, 0.9],
};

/** Place along the arch, from the last tooth of the right side to the last of the left. */
const order = (tooth: number): number => (isRight(tooth) ? -1 : 1) * ((tooth % 10) - 0.5);

/**
 * The crown frames of all upper teeth that have landmarks. The arch form runs through the middles of the crowns.
 * @param marks of one scan, in its arch frame
 * @returns from the back of the right side to the back of the left; empty with fewer than two teeth
 */
export function crownFrames(marks: readonly FrameMark[]): CrownFrame[] {
  const byTooth = new Map<number, FrameMark[]>();
  for (const mark of marks) {
    if (mark.tooth === null || !isUpper(mark.tooth) || PLACES[mark.place] === undefined) continue;
    byTooth.set(mark.tooth, [...(byTooth.get(mark.tooth) ?? []), mark]);
  }
  const teeth = [...byTooth.keys()].sort((a, b) => order(a) - order(b));
  if (teeth.length < 2) return [];
  let centres = teeth.map((tooth) => centroid(byTooth.get(tooth)!.map(({ at }) => at)));
  let frames: CrownFrame[] = [];
  // The middles need the directions and the directions the middles: twice is enough.
  for (let round = 0; round < 2; round++) {
    const tangents = tangentsOf(centres);
    frames = teeth.map((tooth, i) => frameAt(tooth, centres[i]!, tangents[i]!));
    centres = frames.map((frame) => middleOf(frame, byTooth.get(frame.tooth)!));
    frames = frames.map((frame, i) => ({ ...frame, centre: centres[i]! }));
  }
  return frames;
}

/**
 * Unit directions of the arch form at the middles, in the occlusal plane, from right to left: of the parabola through a
 * middle and its two neighbours, by chord length, so that a near neighbour tells more than one across a gap.
 */
function tangentsOf(centres: readonly Vector3[]): Vector3[] {
  const flat = (v: Vector3): Vector3 => [v[0], v[1], 0];
  const chords = centres.slice(1).map((p, i) => flat(subtract(p, centres[i]!)));
  const last = centres.length - 1;
  const inner = centres.map((_, i): Vector3 => {
    const before = chords[i - 1];
    const after = chords[i];
    if (before === undefined || after === undefined) return unit(before ?? after!);
    return unit(add(scale(unit(before), length(after)), scale(unit(after), length(before))));
  });
  if (last < 2) return inner;
  // At the ends the chord belongs half a tooth further in: the turn from there is carried on.
  const onward = (chord: Vector3, next: Vector3): Vector3 => unit(subtract(scale(chord, 2), next));
  return inner.map((tangent, i) =>
    i === 0 ? onward(tangent, inner[1]!) : i === last ? onward(tangent, inner[last - 1]!) : tangent,
  );
}

function frameAt(tooth: number, centre: Vector3, tangent: Vector3): CrownFrame {
  const mesial = isRight(tooth) ? tangent : scale(tangent, -1);
  const outwards = cross([0, 0, 1], mesial);
  return { tooth, centre, mesial, buccal: isRight(tooth) ? scale(outwards, -1) : outwards, occlusal: OCCLUSAL };
}

/** Middle of a crown, each landmark telling where it is by its usual place. Gingival points count only where nothing else does. */
function middleOf({ tooth, mesial, buccal }: CrownFrame, marks: readonly FrameMark[]): Vector3 {
  const { mesiodistal, buccopalatal } = crownSize(tooth);
  const crown = marks.filter(({ place }) => !place.includes("gingival"));
  return centroid(
    (crown.length > 0 ? crown : marks).map(({ place, at }) => {
      const [m, b] = PLACES[place]!;
      return addScaled(addScaled(at, mesial, (-m * mesiodistal) / 2), buccal, (-b * buccopalatal) / 2);
    }),
  );
}

/** A direction or shift of the arch frame in the crown's own directions: mesial, buccal, occlusal. */
export const inCrown = (frame: CrownFrame, v: Vector3): Vector3 => [
  dot(v, frame.mesial),
  dot(v, frame.buccal),
  dot(v, frame.occlusal),
];
