import { IDENTITY, invert, type RigidTransform, rotate } from "../geometry/rigid-transform";
import type { Vector3 } from "../geometry/vector";
import type { BareMesh } from "../mesh/filled-holes";
import { sectionArea, trianglesNearCut } from "../mesh/plane-section";
import { bySurface } from "./palate-mesh";
import { covered, incomplete, type ReadingDefinition, spot } from "./reading-definition";

/** The cut may move by less than this while its errors are looked at, mm. */
const MARGIN = 0.05;
const HEAD: Vector3 = [0, 0, 1];

/** Cross-section area of the palate between the palatal gingival points of a pair. */
function sectionReading(where: string, right: number, left: number): ReadingDefinition {
  return {
    name: `palatal cross-section at ${where}`,
    by: `between the palatal surface and the straight line of the palatal gingival points of ${right} and ${left}, in the plane through that line perpendicular to the occlusal plane`,
    unit: "mm2",
    teeth: [right, left],
    spots: [spot(right, "palatal-gingival"), spot(left, "palatal-gingival")],
    basis: "occlusal-plane",
    onSurface: true,
    on: (scan, [a, b]) => {
      const mesh = scan.palate();
      if (mesh === null) return incomplete(scan);
      const near = trianglesNearCut(mesh, a!, b!, HEAD, MARGIN);
      const section = (surface: BareMesh, points: readonly Vector3[], frame: RigidTransform) =>
        sectionArea(surface, near, points[0]!, points[1]!, rotate(invert(frame), HEAD));
      const nominal = section(mesh, [a!, b!], IDENTITY);
      if (nominal === null || !nominal.closed) return incomplete(scan);
      if (mesh.covers(nominal.triangles)) return covered(scan);
      return {
        value: (points, frame) => section(mesh, points, frame)?.area ?? Number.NaN,
        bySurface: bySurface(
          mesh,
          [near],
          scan.fields,
          (bent) => section(bent, [a!, b!], IDENTITY)?.area ?? Number.NaN,
        ),
      };
    },
  };
}

/**
 * Cross-sections below the gingival line (Phatouros 2008, AJODO; Alsayegh 2022, Biomed Res Int 1974467) at the canines, of
 * which the first that have their points count, and at the first molars.
 */
export const CANINE_SECTIONS: readonly ReadingDefinition[] = [
  sectionReading("the canines", 13, 23),
  sectionReading("the deciduous canines", 53, 63),
];
export const MOLAR_SECTION = sectionReading("the first molars", 16, 26);
