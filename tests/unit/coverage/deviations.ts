import type { Quantity, Readings } from "#core/readings/readings-document";
import type { PairTruth } from "./pair-truth";

/** Quantities whose intervals are held against the truth. */
export const QUANTITIES = [
  "change of a width, placed by hand on both scans",
  "change of a width, carried",
  "opening of the halves at the canines",
  "opening of the halves at the molars",
  "opening angle of the halves",
  "roll of the halves",
  "buccal tipping of a crown against its half",
  "buccal shift of a crown against its half",
] as const;

/** How far a reading is from the truth, in its own standard uncertainties. */
export interface Deviation {
  readonly quantity: (typeof QUANTITIES)[number];
  readonly z: number;
  /** Whether its 95 % interval holds the truth. */
  readonly covered: boolean;
}

/** The place on each tooth that a width of a level is read between. */
function placeOf(level: Readings["widths"][number]["level"], tooth: number): string {
  if (level !== "cusp-tip") return level;
  const kind = tooth % 10;
  return kind === 3 ? "cusp-tip" : kind < 6 ? "buccal-cusp-tip" : "mesiobuccal-cusp-tip";
}

/** Readings beside their truth; withheld ones have no interval. */
export function deviationsOf(readings: Readings, truth: PairTruth): Deviation[] {
  const found: Deviation[] = [];
  const add = (quantity: Deviation["quantity"], read: Quantity, wanted: number) => {
    const off = read.value - wanted;
    found.push({ quantity, z: off / read.standardUncertainty, covered: Math.abs(off) <= read.expandedUncertainty });
  };
  for (const { teeth, level, change, changeIfCarried } of readings.widths) {
    const wanted = truth.widthChange(teeth[0]!, teeth[1]!, placeOf(level, teeth[0]!));
    if (change.state === "given") add("change of a width, placed by hand on both scans", change.reading, wanted);
    if (changeIfCarried !== null) add("change of a width, carried", changeIfCarried, wanted);
  }
  if (readings.halves.state === "given") {
    const { atCanines, atMolars, openingAngle, roll } = readings.halves.reading;
    add("opening of the halves at the canines", atCanines, truth.atCanines);
    add("opening of the halves at the molars", atMolars, truth.atMolars);
    add("opening angle of the halves", openingAngle, truth.openingAngle);
    add("roll of the halves", roll, truth.roll);
  }
  for (const { tooth, motion } of readings.crowns) {
    if (motion.state === "withheld" || motion.reading.againstHalf.state === "withheld") continue;
    const { buccalTipping, buccalShift } = motion.reading.againstHalf.reading;
    const wanted = truth.crowns.get(tooth)!;
    add("buccal tipping of a crown against its half", buccalTipping, wanted.buccalTipping);
    add("buccal shift of a crown against its half", buccalShift, wanted.buccalShift);
  }
  return found;
}
