import { apply, compose, fromRotationVector, type RigidTransform } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { distance, scale, type Vector3 } from "#core/geometry/vector";
import { surfaceOf } from "#core/mesh/surface";
import { coarsePose } from "#core/registration/coarse-pose";
import { type RegistrationSurface, registrationSurface } from "#core/registration/registration-surface";
import type { SamplePair } from "../../../sample-meshes/generator/sample-pair";
import { motionOf } from "../jobs/sample-case";
import { withoutPalate } from "../jobs/teeth-only";

interface Triangles {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
}

/** The scans of a pair, whole and without their palates, in the files' own poses. */
export function scansOf(pair: SamplePair, name: "before" | "after"): { whole: Triangles; teeth: Triangles } {
  const { archFrame, landmarks } = pair.truth.scans[name]!;
  const { positions, triangles } = pair.meshes[name]!;
  const gingival = landmarks.flatMap(({ tooth, place, refound }) =>
    place === "palatal-gingival" ? [{ tooth: tooth!, at: refound }] : [],
  );
  const whole = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
  return { whole, teeth: withoutPalate(whole, motionOf(archFrame), gingival) };
}

/** A pose drawn by a seed: any rotation, shifts of up to 100 mm along each axis. */
export function drawnPose(seed: number): RigidTransform {
  const random = seededRandom(seed);
  for (;;) {
    const axis: Vector3 = [2 * random() - 1, 2 * random() - 1, 2 * random() - 1];
    const size = Math.hypot(...axis);
    if (size > 1 || size < 0.1) continue;
    const turn = scale(axis, (Math.PI * random()) / size);
    return fromRotationVector(turn, [200 * random() - 100, 200 * random() - 100, 200 * random() - 100]);
  }
}

/** A scan in another pose, ready to be registered. */
export function posedSurface({ positions, triangles }: Triangles, pose: RigidTransform): RegistrationSurface {
  const moved = new Float64Array(positions.length);
  for (let v = 0; v < positions.length; v += 3) {
    moved.set(apply(pose, [positions[v]!, positions[v + 1]!, positions[v + 2]!]), v);
  }
  return registrationSurface(
    surfaceOf({
      positions: moved,
      triangles,
      fileTriangles: Uint32Array.from({ length: triangles.length / 3 }, (_, t) => t),
    }),
  );
}

/** Where the coarse pose puts the palatal gingival points of each side, root mean square distance from where they went, mm. */
export function coarseErrors(
  { truth }: SamplePair,
  moving: RegistrationSurface,
  fixed: RegistrationSurface,
  movingPose: RigidTransform,
  fixedPose: RigidTransform,
): { right: number; left: number; lead: number } {
  const { transform, lead } = coarsePose(moving, fixed);
  const off = (right: boolean): number => {
    const motion = compose(fixedPose, motionOf(truth.motions.after![right ? "right" : "left"]));
    const squares = truth.scans.before!.landmarks.flatMap(({ tooth, place, refound }) =>
      tooth === undefined || place !== "palatal-gingival" || tooth < 20 !== right
        ? []
        : [distance(apply(transform, apply(movingPose, refound)), apply(motion, refound)) ** 2],
    );
    return Math.sqrt(squares.reduce((a, b) => a + b, 0) / squares.length);
  };
  return { right: off(true), left: off(false), lead };
}

/** How far a side may be off as a start: the halves came apart by up to 6.5 mm, and one rigid motion can meet one. */
export const FARTHEST_START = 7;
