import { apply, type RigidTransform } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import { ArchField } from "./arch-field";
import { ArchForm } from "./arch-form";
import type { PlacedLandmark } from "./arch-frame";
import { GumField } from "./gum-field";
import { findLandmarks } from "./landmark-finding";
import { clickedLandmarks } from "./marks";
import { Random } from "./random";
import type { SampleMarks } from "./sample-pair";
import { INVENTED } from "./scan-files";
import { ScanBorder, scanSurface } from "./scan-surface";
import { arbitraryPose, posed, type ScannerTraits, scanned } from "./scanner";
import type { SurfaceMesh } from "./surface-nets";
import { placeTeeth } from "./tooth-placing";
import { matrixOf, type TrueLandmark } from "./truth";

/** Points of the left half of a lower arch form from the midline back, mm. */
const LOWER_FORM: readonly (readonly [number, number])[] = [
  [0, 0],
  [2.6, 0.2],
  [7.6, 2],
  [12, 6],
  [15.2, 12],
  [17.7, 18.5],
  [20.4, 27.5],
  [22.9, 38],
  [24, 47],
  [24.8, 56],
];

export interface LowerTruth {
  readonly version: 1;
  readonly note: string;
  readonly seed: number;
  readonly file: string;
  readonly triangles: number;
  readonly pose: readonly (readonly number[])[];
  readonly landmarks: readonly TrueLandmark[];
}

/**
 * A lower arch: a horseshoe, open on the tongue's side. It is modelled upside down like an upper arch and turned over
 * (z to −z), so in the model frame its crowns point to the head (+z).
 */
export function makeLowerArch(
  seed: number,
  triangles: number,
  scanner: ScannerTraits,
  file: string,
): { mesh: SurfaceMesh; truth: LowerTruth; marks: SampleMarks } {
  const random = new Random(seed ^ 0x10e4);
  const form = new ArchForm(LOWER_FORM);
  const teeth = placeTeeth("lower", form, -7.5, 0.5, random.branch(1));
  const gum = new GumField(
    form,
    teeth,
    { depthInFront: 11, depthBehind: 12, run: 4.5 },
    null,
    Math.floor(random.uniform() * 65536),
  );
  const field = new ArchField(teeth, gum, null);
  const back = teeth.find((t) => t.tooth === 37)!.origin[1] + 9;
  const landmarks = findLandmarks(field, []).landmarks.map((l) => ({
    ...l,
    place: l.place.replace("palatal", "lingual"),
  }));
  const border = new ScanBorder(back, 6.5, random.branch(2));
  const surface = scanSurface(
    field,
    border,
    { triangles, low: [-38, -11, -11], high: [38, back + 4, 16] },
    random.branch(3),
  );
  const noisy = turnedOver(
    scanned(
      surface,
      scanner,
      landmarks.map((l) => l.at),
      random.branch(4),
    ),
  );
  const pose = arbitraryPose(random.branch(5));
  const mesh = posed(noisy, pose);
  const inFile = landmarks.map((l) => trueLandmark(pose, l));
  return {
    mesh,
    truth: {
      version: 1,
      note: INVENTED,
      seed,
      file,
      triangles: mesh.triangles.length / 3,
      pose: matrixOf(pose),
      landmarks: inFile,
    },
    marks: {
      version: 1,
      scans: { lower: { landmarks: clickedLandmarks(inFile, mesh, random.branch(6)).filter(isMarked) } },
    },
  };
}

/** An examiner leaves out what has no point of its own: the low lingual cusp of a first premolar, a second molar's shallow fossa. */
const isMarked = ({ tooth, place }: PlacedLandmark): boolean =>
  !(place === "lingual-cusp-tip" && tooth! % 10 === 4) && !(place === "central-fossa" && tooth! % 10 === 7);

function trueLandmark(pose: RigidTransform, l: PlacedLandmark): TrueLandmark {
  const at: Vector3 = apply(pose, [l.at[0], l.at[1], -l.at[2]]);
  return { ...(l.tooth === undefined ? {} : { tooth: l.tooth }), place: l.place, material: at, refound: at };
}

/** The mirror image in z, its triangles still counter-clockwise from outside. */
function turnedOver(mesh: SurfaceMesh): SurfaceMesh {
  const positions = mesh.positions.map((x, i) => (i % 3 === 2 ? -x : x));
  const triangles = mesh.triangles.slice();
  for (let t = 0; t < triangles.length; t += 3) {
    const second = triangles[t + 1]!;
    triangles[t + 1] = triangles[t + 2]!;
    triangles[t + 2] = second;
  }
  return { positions, triangles };
}
