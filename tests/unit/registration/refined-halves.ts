import type { Landmark } from "#core/arch/landmark";
import { apply, compose, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import { distance } from "#core/geometry/vector";
import type { Readings } from "#core/readings/readings-document";
import { writePly } from "#core/scan/write-ply";
import type { SamplePair } from "../../../sample-meshes/generator/sample-pair";
import { motionOf, SampleCase } from "../jobs/sample-case";

interface Triangles {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
}

function moved({ positions, triangles }: Triangles, pose: RigidTransform): Triangles {
  const out = new Float64Array(positions.length);
  for (let v = 0; v < out.length; v += 3) {
    out.set(apply(pose, [positions[v]!, positions[v + 1]!, positions[v + 2]!]), v);
  }
  return { positions: out, triangles };
}

/**
 * Where each half ends in a whole measurement of two scans in the given poses, landmarks on the before scan only: laid on
 * each other by their shape, then registered as in any span.
 * @returns root mean square distance of a side's palatal gingival points from where they went, mm; null without fit
 */
export async function refinedHalves(
  pair: SamplePair,
  [before, after]: readonly [Triangles, Triangles],
  [p, q]: readonly [RigidTransform, RigidTransform],
): Promise<{ right: number | null; left: number | null }> {
  const sample = new SampleCase("fan");
  await sample.openBytes("before", "before.ply", writePly(moved(before, p), "binary-little-endian", []));
  await sample.openBytes("after", "after.ply", writePly(moved(after, q), "binary-little-endian", []));
  const landmarks = pair.marks.scans.before!.landmarks.map((mark) => ({ ...mark, at: apply(p, mark.at) }));
  const { readings } = sample.measure("before", "after", {
    before: { landmarks: landmarks as Landmark[] },
    after: { landmarks: [] },
  });
  return { right: off(readings, pair, "right", p, q), left: off(readings, pair, "left", p, q) };
}

function off(
  readings: Readings,
  { truth }: SamplePair,
  side: "right" | "left",
  p: RigidTransform,
  q: RigidTransform,
): number | null {
  const given = readings.registrations.flatMap((one) =>
    one.state === "given" && one.reading.region.startsWith(side) ? [one.reading] : [],
  );
  if (given.length !== 1) return null;
  const { rotation, translation } = given[0]!;
  const found = invert({ rotation, translation } as unknown as RigidTransform);
  const went = compose(q, motionOf(truth.motions.after![side]));
  const squares = truth.scans.before!.landmarks.flatMap(({ tooth, place, refound }) =>
    tooth === undefined || place !== "palatal-gingival" || tooth < 20 !== (side === "right")
      ? []
      : [distance(apply(found, apply(p, refound)), apply(went, refound)) ** 2],
  );
  return Math.sqrt(squares.reduce((a, b) => a + b, 0) / squares.length);
}
