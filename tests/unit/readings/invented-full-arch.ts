import { archFrame, commonPlanePairs } from "#core/arch/arch-frame";
import type { Landmark, Place } from "#core/arch/landmark";
import { apply, IDENTITY, type RigidTransform } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import type { BareMesh } from "#core/mesh/filled-holes";
import { type Surface, surfaceOf } from "#core/mesh/surface";
import { type ArchScan, archScan } from "#core/readings/arch-scan";
import type { Assumptions } from "#core/readings/uncertainty";

/** A landmark of the invented arch, mm in its own frame; raphe and papilla have no tooth. */
export interface Spot {
  readonly tooth: number | null;
  readonly place: Place;
  readonly at: Vector3;
}

/**
 * The left side of an invented arch: per tooth its middle (mm beside the midline, behind the papilla), half its
 * mesiodistal size, and the direction of the arch form towards the back.
 */
const LEFT: readonly [place: number, x: number, y: number, half: number, back: Vector3][] = [
  [1, 4.2, -7, 4.2, [0.96, 0.28, 0]],
  [2, 11.4, -4.2, 3.2, [0.8, 0.6, 0]],
  [3, 16.5, 1, 3.7, [0.6, 0.8, 0]],
  [4, 20, 7.5, 3.5, [0.28, 0.96, 0]],
  [5, 22.5, 14.5, 3.5, [0.28, 0.96, 0]],
  [6, 24.5, 23, 5, [0, 1, 0]],
  [7, 25.5, 32.5, 4.5, [0, 1, 0]],
];

function toothSpots(n: number, x: number, y: number, half: number, back: Vector3): [Place, Vector3][] {
  const out: Vector3 = [back[1], -back[0], 0];
  const at = (along: number, outwards: number, z: number): Vector3 => [
    x + along * back[0] + outwards * out[0],
    y + along * back[1] + outwards * out[1],
    z,
  ];
  const common: [Place, Vector3][] = [
    ["mesial-contact", at(-half, 0, 2)],
    ["distal-contact", at(half, 0, 2)],
    ["palatal-gingival", at(0, -4.5, 6)],
    ["buccal-gingival-zenith", at(0, 4.5, 8)],
  ];
  if (n <= 2) return [...common, ["incisal-edge-middle", at(0, 0.5, 0)]];
  if (n === 3) return [...common, ["cusp-tip", at(0, 0.5, 0)]];
  if (n <= 5) return [...common, ["buccal-cusp-tip", at(0, 2.5, 0)], ["palatal-cusp-tip", at(0, -2.5, 0.5)]];
  return [
    ...common,
    ["mesiobuccal-cusp-tip", at(-2.5, 3, 0)],
    ["distobuccal-cusp-tip", at(2.5, 3, 0.3)],
    ["mesiopalatal-cusp-tip", at(-2, -3, 0.4)],
    ["distopalatal-cusp-tip", at(2, -3, 1)],
    ["central-fossa", at(0, 0, 3)],
    ["buccal-groove", at(0, 5, 3)],
  ];
}

/** Every landmark of the invented arch: symmetric about the midline, cusps on the occlusal plane z = 0. */
export function inventedArch(): Spot[] {
  const teeth = LEFT.flatMap(([n, x, y, half, back]) =>
    toothSpots(n, x, y, half, back).flatMap(([place, at]): Spot[] => [
      { tooth: 20 + n, place, at },
      { tooth: 10 + n, place, at: [-at[0], at[1], at[2]] },
    ]),
  );
  const raphe = [6, 12, 18, 24, 30].map((y): Spot => ({ tooth: null, place: "median-raphe", at: [0, y, 14] }));
  return [...teeth, { tooth: null, place: "incisive-papilla", at: [0, 0, 8] }, ...raphe];
}

/** Spots as a scan in a pose of its own. */
export function scanOf(
  timepoint: string,
  spots: readonly Spot[],
  assumptions: Assumptions,
  pose: RigidTransform = IDENTITY,
  mesh: BareMesh | null = null,
): ArchScan {
  const inFile = spots.map((one) => ({ ...one, at: apply(pose, one.at) }));
  const marks = inFile.map(
    ({ tooth, place, at }): Landmark => ({ ...(tooth === null ? {} : { tooth }), place, at: [...at] }),
  );
  const pairs = commonPlanePairs([marks]);
  const frame = pairs.length >= 2 ? archFrame(marks, pairs, timepoint) : null;
  const points = inFile.map((one) => ({ ...one, inFrame: frame === null ? null : apply(frame.toFrame, one.at) }));
  return archScan({ timepoint, points, faults: [] }, frame, mesh === null ? null : surfaceIn(pose, mesh), assumptions);
}

function surfaceIn(pose: RigidTransform, { positions, triangles }: BareMesh): Surface {
  const moved = new Float64Array(positions.length);
  for (let i = 0; i < positions.length; i += 3)
    moved.set(apply(pose, [positions[i]!, positions[i + 1]!, positions[i + 2]!]), i);
  return surfaceOf({ positions: moved, triangles, fileTriangles: Uint32Array.from(triangles.keys()) });
}

/** Spots moved, those of the given teeth (null: palate) by a function. */
export const moving = (spots: readonly Spot[], by: (one: Spot) => Vector3): Spot[] =>
  spots.map((one) => ({ ...one, at: by(one) }));

/** The mirror image: right teeth become left ones. */
export const mirrored = (spots: readonly Spot[]): Spot[] =>
  spots.map(({ tooth, place, at }) => ({
    tooth: tooth === null ? null : Math.floor(tooth / 10) === 1 ? tooth + 10 : tooth - 10,
    place,
    at: [-at[0], at[1], at[2]],
  }));
