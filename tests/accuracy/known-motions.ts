import { crownFrames } from "#core/arch/crown-frame";
import { atan, DEGREES } from "#core/geometry/real";
import { compose, fromRotationVector, type RigidTransform } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import { halvesReading } from "#core/jobs/halves-reading";
import type { SpanEnd } from "#core/jobs/span-end";
import type { BareMesh } from "#core/mesh/filled-holes";
import type { ArchScan } from "#core/readings/arch-scan";
import { halfReference, palatalCuspDrop } from "#core/readings/crowns";
import type { HalvesReading, PalatalCuspDrop } from "#core/readings/readings-document";
import type { Assumptions } from "#core/readings/uncertainty";
import { pointOf } from "#core/readings/width";
import type { HalvesRegistration } from "#core/registration/halves-registration";

/**
 * Readings of registered motions as landmarks alone change them: the motions are known, as a registration finds them by
 * shape and not by landmarks; these enter by the arch frame, the stations and the heights that are read there.
 */

/** 0.08 mm more for each mm to the front, 4 mm at the canines; rolled by a degree to each side. */
const OPENING = 2 * atan(0.04);
const HINGE: Vector3 = [0, 50.7, 22];
const ROLL = 1 / DEGREES;
const half = (side: 1 | -1): RigidTransform =>
  fromRotationVector([0, -side * ROLL, (side * OPENING) / 2], [0, 0, 0], HINGE);
/** The right first molar tipped further than its half, by 4 degrees about a point in its roots. */
const TIPPED = fromRotationVector([0, 4 / DEGREES, 0], [0, 0, 0], [-24.5, 23, 14]);

const known = (transform: RigidTransform, centre: Vector3) => ({
  transform,
  covariance: new Float64Array(36),
  centre,
  condition: 1,
});
const RIGHT = known(half(-1), [-8, 14, 16]);
const LEFT = known(half(1), [8, 14, 16]);

/**
 * The halves as the job reads them.
 * @param first the earlier scan, its arch frame made of its landmarks
 * @param mesh the region of its palate, file coordinates
 */
export function knownHalves(first: ArchScan, mesh: BareMesh, assumptions: Assumptions): HalvesReading {
  const fitted = (fit: typeof RIGHT) => ({ state: "fitted", fit: { fit } });
  // Only what the reading looks at.
  const registration = {
    of: "palate",
    right: fitted(RIGHT),
    left: fitted(LEFT),
    regions: { before: { whole: { mask: new Uint8Array(mesh.positions.length / 3).fill(1) } }, after: null },
    identity: { verdict: "same", sentence: "" },
  } as unknown as HalvesRegistration;
  const end = {
    timepoint: { name: first.timepoint },
    scan: { surface: { mesh } },
    landmarks: {
      frame: first.frame,
      inUse: first.points.points.map((point) => ({ ...point, used: point.at })),
      faults: [],
    },
    away: [],
    covered: [],
  } as unknown as SpanEnd;
  const reading = halvesReading(end, registration, assumptions);
  if (reading.state === "withheld") throw new Error(reading.reason.text);
  return reading.reading;
}

/** The drop of the palatal cusp of 16, which tipped against its half. */
export function knownCuspDrop(first: ArchScan, assumptions: Assumptions): PalatalCuspDrop {
  const marks = first.points.points.map(({ tooth, place, inFrame }) => ({ tooth, place, at: inFrame! }));
  const frame = crownFrames(marks).find(({ tooth }) => tooth === 16)!;
  const at = (place: "mesiopalatal-cusp-tip" | "mesiobuccal-cusp-tip") => pointOf(first.points, 16, place)!.at;
  return palatalCuspDrop(
    {
      crown: known(compose(RIGHT.transform, TIPPED), [-24.5, 23, 3]),
      axes: [frame.mesial, frame.buccal, frame.occlusal],
      middle: at("mesiopalatal-cusp-tip"),
      toFrame: first.toFrame,
      axesTurn: [0, 0, 0],
      share: 1,
      archLength: 20,
    },
    halfReference(RIGHT),
    at("mesiopalatal-cusp-tip"),
    at("mesiobuccal-cusp-tip"),
    assumptions,
  );
}
