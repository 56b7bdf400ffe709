import { crownFrames, type FrameMark } from "#core/arch/crown-frame";
import { crownPatch, verticesInFrame } from "#core/arch/crown-patch";
import type { Landmark } from "#core/arch/landmark";
import { isRight } from "#core/arch/teeth";
import { halfMotion } from "#core/geometry/half-motion";
import { DEGREES } from "#core/geometry/real";
import { apply, compose, invert, type RigidTransform, rotationVector } from "#core/geometry/rigid-transform";
import { centroid, cross, distance, dot, subtract, type Vector3 } from "#core/geometry/vector";
import { surfaceOf } from "#core/mesh/surface";
import type { HalvesReading } from "#core/readings/readings-document";
import type { SamplePair } from "../../../sample-meshes/generator/sample-pair";
import { motionOf } from "../jobs/sample-case";

/** A crown's motion against its half of the palate, in its own directions on the earlier scan; degrees and mm. */
export interface CrownTruth {
  readonly buccalTipping: number;
  readonly buccalShift: number;
}

/** What is true of a pair without any error of scanner, hand or registration. */
export interface PairTruth {
  /** Change of the distance between the same material points of two teeth, mm. */
  widthChange(right: number, left: number, place: string): number;
  /** Opening of the halves at the stations and heights that a reading without errors has, mm. */
  readonly atCanines: number;
  readonly atMolars: number;
  /** Degrees. */
  readonly openingAngle: number;
  readonly roll: number;
  readonly crowns: ReadonlyMap<number, CrownTruth>;
}

/**
 * The truth of a pair that was made without pose, from the motions that its generator made it with.
 * @param landmarks the true spots on the earlier scan
 * @param places where the halves are read, from a reading without errors
 */
export function pairTruth(
  { truth, meshes }: SamplePair,
  landmarks: readonly Landmark[],
  { stations, heights }: Pick<HalvesReading, "stations" | "heights">,
): PairTruth {
  const motions = truth.motions.after!;
  const frame = motionOf(truth.scans.before!.archFrame);
  const inFrame = (motion: RigidTransform) => compose(frame, compose(motion, invert(frame)));
  const halves = { right: motionOf(motions.right), left: motionOf(motions.left) };
  const half = halfMotion(inFrame(compose(invert(halves.right), halves.left)));
  const back = invert(half);
  const materialOf = (scan: string, tooth: number, place: string) =>
    truth.scans[scan]!.landmarks.find((mark) => mark.tooth === tooth && mark.place === place)!.material;
  const widthOn = (scan: string, right: number, left: number, place: string) =>
    distance(materialOf(scan, right, place), materialOf(scan, left, place));
  const [right, left] = [13, 23].map((tooth) => apply(frame, materialOf("before", tooth, "palatal-gingival"))[1]);
  const apart = (station: number, height: number): number => {
    const p: Vector3 = [0, (right! + left!) / 2 + station, height];
    return apply(half, p)[0] - apply(back, p)[0];
  };
  return {
    widthChange: (...teeth) => widthOn("after", ...teeth) - widthOn("before", ...teeth),
    atCanines: apart(stations.canines, heights.canines),
    atMolars: apart(stations.molars, heights.molars),
    openingAngle: motions.halves.openingAngle,
    roll: motions.halves.roll,
    crowns: crownsOf(meshes.before!, frame, landmarks, (tooth) =>
      inFrame(compose(invert(isRight(tooth) ? halves.right : halves.left), motionOf(motions.teeth[tooth]!))),
    ),
  };
}

/** Directions and middles of the crowns as the true spots give them, and what the true motions are in them. */
function crownsOf(
  { positions, triangles }: SamplePair["meshes"][string],
  toFrame: RigidTransform,
  landmarks: readonly Landmark[],
  motionOfCrown: (tooth: number) => RigidTransform,
): Map<number, CrownTruth> {
  const surface = surfaceOf({ positions, triangles, fileTriangles: new Uint32Array(triangles.length / 3) });
  const vertices = verticesInFrame(surface, toFrame);
  const marks = landmarks.map(
    ({ tooth, place, at }): FrameMark => ({ tooth: tooth ?? null, place, at: apply(toFrame, at) }),
  );
  const frames = crownFrames(marks);
  return new Map(
    frames.map((crown): [number, CrownTruth] => {
      const patch = crownPatch(surface, toFrame, vertices, crown, frames, marks);
      const points: Vector3[] = [];
      for (let v = 0; v < patch.length; v++) {
        if (patch[v] === 1) points.push([vertices[3 * v]!, vertices[3 * v + 1]!, vertices[3 * v + 2]!]);
      }
      const middle = centroid(points);
      const motion = motionOfCrown(crown.tooth);
      return [
        crown.tooth,
        {
          buccalTipping: dot(rotationVector(motion), cross(crown.occlusal, crown.buccal)) * DEGREES,
          buccalShift: dot(subtract(apply(motion, middle), middle), crown.buccal),
        },
      ];
    }),
  );
}
