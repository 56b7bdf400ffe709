import { test } from "vitest";
import type { Assumptions } from "#core/readings/uncertainty";
import { claimedToDrawn, drawnByScanner, palateReadings, within5 } from "./drawn-palate";

/**
 * The scanner's part in readings of the palate against 20,000 draws of its errors (GUM Supplement 1, JCGM 101:2008),
 * which bend surface and landmarks of each scan, all measured anew: within 5 %.
 */
const DRAWS = 20_000;
const SCANNER: Assumptions = { delta: 1, pointWidth: 0, scanner: { atCanines: 0.05, atMolars: 0.12, local: 0.02 } };

test("heights, sections, surface area and volume of the palate have the scanner's error that the draws have", {
  timeout: 900_000,
}, () => {
  const readings = palateReadings();
  const draw = drawnByScanner(readings, SCANNER);
  within5(claimedToDrawn(readings, draw, "scanner", SCANNER, DRAWS, 91));
});
