import { apply, invert, rotate } from "../geometry/rigid-transform";
import { distance, type Vector3 } from "../geometry/vector";
import type { BareMesh } from "../mesh/filled-holes";
import { heightOver, trianglesNearLine } from "../mesh/height-over";
import type { ArchScan } from "./arch-scan";
import { bySurface } from "./palate-mesh";
import { covered, incomplete, type Measure, type ReadingDefinition, type Spot, spot } from "./reading-definition";

/** How far the line of measuring is moved while its errors are looked at, a little farther than landmarks err, mm. */
const STEP = 0.4;
/** It ends up by less than this from where it was, the frame's turn at the end of a long arch included, mm. */
const MARGIN = 1.5;
/** So far the surface must reach in front, behind and to both sides, mm. */
const REACH = 1;
const AROUND = [
  [0, 0],
  [-REACH, 0],
  [REACH, 0],
  [0, -REACH],
  [0, REACH],
] as const;

/**
 * A height of the palate at the median plane, perpendicular to the occlusal plane.
 * @param foot where the height begins, arch frame, from the spots in the arch frame
 * @param scaled what becomes of the height, given the spots
 */
function heightReading(
  definition: Omit<ReadingDefinition, "on" | "basis">,
  foot: (points: readonly Vector3[]) => Vector3,
  scaled: (height: number, points: readonly Vector3[]) => number = (height) => height,
): ReadingDefinition {
  return {
    ...definition,
    basis: "median-plane",
    onSurface: true,
    on: (scan: ArchScan, points) => {
      const mesh = scan.palate();
      if (mesh === null) return incomplete(scan);
      const up: Vector3 = [0, 0, 1];
      const near = trianglesNearLine(mesh, foot(points), up, MARGIN);
      const over = (surface: BareMesh, at: Vector3, direction: Vector3) => heightOver(surface, near, at, direction);
      const [x, y, z] = foot(points);
      const whole = AROUND.every(([dx, dy]) => over(mesh, [x + dx, y + dy, z], up) !== null);
      if (!whole) return incomplete(scan);
      if (mesh.covers(near)) return covered(scan);
      const measure: Measure = {
        value: (moved, frame) => {
          const inFrame = moved.map((p) => apply(frame, p));
          const back = invert(frame);
          const height = over(mesh, apply(back, foot(inFrame)), rotate(back, up));
          return scaled(height ?? Number.NaN, inFrame);
        },
        step: STEP,
        bySurface: bySurface(mesh, [near], scan.fields, (bent) =>
          scaled(over(bent, foot(points), up) ?? Number.NaN, points),
        ),
      };
      return measure;
    },
  };
}

const GROOVES: readonly Spot[] = [spot(16, "buccal-groove"), spot(26, "buccal-groove")];

/** The spot of the median plane and the occlusal plane at the level of the first molars' buccal grooves. */
const atGrooves = ([right, left]: readonly Vector3[]): Vector3 => [0, (right![1] + left![1]) / 2, 0];

/** Where the straight line between two points passes the median plane. */
function onMedianPlane([a, b]: readonly Vector3[]): Vector3 {
  const share = a![0] / (a![0] - b![0]);
  return [0, a![1] + share * (b![1] - a![1]), a![2] + share * (b![2] - a![2])];
}

/**
 * Height of the palate at the first molars over two levels, which differ by the height of the crowns (level of the buccal
 * grooves after Alsayegh 2022, Biomed Res Int 1974467), and the height index.
 */
export const PALATE_HEIGHTS: readonly ReadingDefinition[] = [
  heightReading(
    {
      name: "palatal height over the occlusal plane",
      by: "at the buccal grooves of 16 and 26, perpendicular from the occlusal plane to the palatal surface at the median plane",
      unit: "mm",
      teeth: [16, 26],
      spots: GROOVES,
    },
    atGrooves,
  ),
  heightReading(
    {
      name: "palatal height over the gingival line",
      by: "perpendicular to the occlusal plane from the straight line between the palatal gingival points of 16 and 26 to the palatal surface at the median plane",
      unit: "mm",
      teeth: [16, 26],
      spots: [spot(16, "palatal-gingival"), spot(26, "palatal-gingival")],
    },
    onMedianPlane,
  ),
  heightReading(
    {
      name: "palatal height index",
      by: "height over the occlusal plane in percent of the width between the central fossae of 16 and 26 (after Korkhaus, from memory; no norm is applied)",
      unit: "percent",
      teeth: [16, 26],
      spots: [...GROOVES, spot(16, "central-fossa"), spot(26, "central-fossa")],
    },
    atGrooves,
    (height, points) => (100 * height) / distance(points[2]!, points[3]!),
  ),
];
