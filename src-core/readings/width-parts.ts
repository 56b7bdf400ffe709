import type { Vector3 } from "../geometry/vector";
import type { WidthParts } from "./arch-document";
import type { ArchScan } from "./arch-scan";
import { WIDTHS, type WidthDefinition } from "./catalogue";
import { pairWords } from "./numbers-in-words";
import { type Basis, fromPoints, LARGEST_BY_RAPHE, type ReadingDefinition, spot } from "./reading-definition";
import { isAsked, spanReading } from "./span-reading";
import type { Assumptions } from "./uncertainty";

/** A part of a width across the arch, as a reading. */
function part(
  { pair, place, at }: WidthDefinition,
  name: string,
  by: string,
  basis: Basis,
  value: (right: Vector3, left: Vector3) => number,
): ReadingDefinition {
  return fromPoints(
    {
      name: `${name} ${pairWords(pair.name)}, ${at}`,
      by,
      unit: "mm",
      teeth: [pair.right, pair.left],
      spots: [spot(pair.right, place), spot(pair.left, place)],
      basis,
      ...(basis === "median-plane" ? { largestUncertainty: LARGEST_BY_RAPHE } : {}),
    },
    ([right, left]) => value(right!, left!),
  );
}

const transverse = (width: WidthDefinition) =>
  part(
    width,
    "transverse width",
    "across the median plane, without the sagittal and vertical part of the straight width",
    "occlusal-plane",
    (right, left) => left[0] - right[0],
  );
/** What of a width lies to the right of the median plane, as a reading. */
export const rightPart = (width: WidthDefinition) =>
  part(width, "right part of", "from the median plane", "median-plane", (right) => -right[0]);
/** What of it lies to the left. */
export const leftPart = (width: WidthDefinition) =>
  part(width, "left part of", "from the median plane", "median-plane", (_, left) => left[0]);

/**
 * Every width across the arch, with its right and left part about the median plane beside each other; the parts add up
 * to it. They do not show which half moved in the head.
 * @returns for the widths whose points are given on at least one scan
 */
export function widthParts(first: ArchScan, second: ArchScan, assumptions: Assumptions): WidthParts[] {
  const scans = [first, second];
  return WIDTHS.flatMap((width): WidthParts[] => {
    const whole = transverse(width);
    if (!isAsked(whole, scans)) return [];
    const [right, left] = [rightPart(width), leftPart(width)].map((definition) =>
      isAsked(definition, scans) ? spanReading(definition, first, second, assumptions) : null,
    ) as [WidthParts["right"], WidthParts["left"]];
    return [
      {
        pair: width.pair.name,
        level: width.level,
        at: width.at,
        transverse: spanReading(whole, first, second, assumptions),
        right,
        left,
      },
    ];
  });
}
