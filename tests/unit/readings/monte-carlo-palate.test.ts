import { describe, expect, test } from "vitest";
import { compose, invert } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { PALATE_HEIGHTS } from "#core/readings/palate-height";
import type { Assumptions } from "#core/readings/uncertainty";
import { heightField } from "../mesh/palate-vaults";
import {
  claimedToDrawn,
  drawnByHand,
  MESHES,
  palateReadings,
  placedByHand,
  plainScan,
  spotsFor,
  valuesOn,
  within5,
} from "./drawn-palate";
import { normalFrom } from "./normal-draws";

/**
 * The hand's part in readings of the palate against 20,000 draws of every landmark (GUM Supplement 1, JCGM 101:2008):
 * within 5 %. Each draw makes the scan's arch frame anew from its landmarks, lays the surface in it and finds height, cut
 * and vault on it anew.
 */
const DRAWS = 20_000;
const HAND: Assumptions = { delta: 1, pointWidth: 0.25, scanner: { atCanines: 0, atMolars: 0, local: 0 } };

describe("heights, sections, surface area and volume of the palate", () => {
  test("have the error that the draws have", { timeout: 900_000 }, () => {
    const readings = palateReadings();
    within5(claimedToDrawn(readings, drawnByHand(readings, HAND), "point", HAND, DRAWS, 81));
  });

  test("found anew after a small error of the landmarks are what the derivatives were taken of", () => {
    const readings = palateReadings();
    const normal = normalFrom(seededRandom(82));
    const spots = spotsFor(readings, 0);
    const nominal = plainScan(spots, MESHES[0]);
    for (let i = 0; i < 20; i++) {
      // Smaller than the margins in which a found cut or vault holds.
      const drawn = plainScan(placedByHand(spots, 0.008, 0.008, normal), MESHES[0]);
      const frame = compose(drawn.toFrame, invert(nominal.toFrame));
      const anew = valuesOn(readings, drawn);
      readings.forEach((reading, k) => {
        const at = (scan: typeof nominal) =>
          reading.spots.map((s) => scan.points.points.find((p) => p.tooth === s.tooth && p.place === s.place)!);
        const measure = reading.on(
          nominal,
          at(nominal).map((p) => p.inFrame!),
        );
        if ("code" in measure) throw new Error(measure.text);
        const moved = measure.value(
          at(drawn).map((p) => p.at),
          frame,
        );
        expect(Math.abs(moved / anew[k]! - 1), reading.name).toBeLessThan(1e-9);
      });
    }
  });

  test("on a surface as rough as a scan, heights have the error that the draws have", { timeout: 900_000 }, () => {
    const normal = normalFrom(seededRandom(83));
    const rough = () => heightField((x) => 18 - 0.03 * x * x + 0.02 * normal(), [-2.625, 2.625], [20.5, 25.5], 0.25);
    const meshes = [rough(), rough()] as const;
    within5(
      claimedToDrawn(PALATE_HEIGHTS, drawnByHand(PALATE_HEIGHTS, HAND, meshes), "point", HAND, DRAWS, 84, meshes),
    );
  });
});
