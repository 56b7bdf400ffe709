import type { Vector3 } from "../geometry/vector";
import { type Assumptions, scannerAcross } from "./uncertainty";
import type { Stations } from "./width";

/** How a scanner's error of one standard uncertainty shifts a point of the arch frame, mm. */
export type ScannerField = (p: Vector3) => Vector3;

/** Where canines stand behind the papilla and first molars behind the canines when landmarks do not tell, mm. */
const USUAL_CANINES = 6;
const USUAL_LENGTH = 21;
/** Beside the median plane one side passes into the other over this distance, mm. */
const PASSAGE = 5;

/**
 * The scanner's correlated error as displacements of the whole scan, independent of each other: one side of the arch
 * against the other in each of the three directions, by the figure across the arch at that station (for a width just
 * that figure), and a stretch along the arch that grows as that figure grows. An assumption, as the figures are.
 */
export function scannerFields(assumptions: Assumptions, stations: Stations): ScannerField[] {
  const { canines, molars } = stations.named("cusp-tip");
  const front = canines ? stations.front("cusp-tip") : null;
  const back = molars ? stations.back("cusp-tip") : null;
  const start = front ?? USUAL_CANINES;
  const length = front !== null && back !== null && back - front >= 5 ? back - front : USUAL_LENGTH;
  const share = ([, y]: Vector3): number => (y - start) / length;
  const half = (p: Vector3): number => {
    const side = Math.max(-1, Math.min(1, p[0] / PASSAGE));
    return (side * scannerAcross(assumptions, share(p))) / 2;
  };
  const { atCanines, atMolars } = assumptions.scanner;
  return [
    (p) => [half(p), 0, 0],
    (p) => [0, half(p), 0],
    (p) => [0, 0, half(p)],
    (p) => [0, (atMolars - atCanines) * share(p), 0],
  ];
}
