import { MILLIMETRES, Unit } from "./unit";

/**
 * The largest extent that the scan of a whole or half dental arch has, mm: arches are 45 to 75 mm wide and deep, a half
 * arch or an arch with its base may be more or less. A convention, no source.
 */
const PLAUSIBLE = { least: 35, most: 110, usual: 65 };

/** A size that no arch has, and which other units would give one. */
export interface UnitQuestion {
  /** Largest extent with the unit that was taken, mm. */
  readonly largestExtent: number;
  /** Units with which the extent would be an arch's, the likeliest first; empty where no unit helps. */
  readonly proposals: readonly { readonly unit: Unit; readonly largestExtent: number }[];
  /** The question as a sentence for the screen. */
  readonly text: string;
}

/** True for an extent that an arch can have, mm. */
const isPlausible = (extent: number): boolean => extent >= PLAUSIBLE.least && extent <= PLAUSIBLE.most;

/**
 * STL, PLY and OBJ carry no unit. Where the size is not that of an arch, asks which unit was meant; nothing is scaled
 * without an answer.
 * @param largestExtent of the measured part in mm, with `unit` taken
 */
export function unitQuestion(largestExtent: number, unit: Unit): UnitQuestion | null {
  if (isPlausible(largestExtent)) return null;
  const strangeness = (extent: number): number => Math.max(extent / PLAUSIBLE.usual, PLAUSIBLE.usual / extent);
  const proposals = Unit.options
    .filter((other) => other !== unit)
    .map((other) => ({ unit: other, largestExtent: (largestExtent / MILLIMETRES[unit]) * MILLIMETRES[other] }))
    .filter((proposal) => isPlausible(proposal.largestExtent))
    .sort((a, b) => strangeness(a.largestExtent) - strangeness(b.largestExtent));
  return { largestExtent, proposals, text: question(largestExtent, unit, proposals) };
}

const NAMES: Readonly<Record<Unit, string>> = { mm: "millimetres", cm: "centimetres", m: "metres", inch: "inches" };

function question(extent: number, unit: Unit, proposals: UnitQuestion["proposals"]): string {
  const size = `Taken as ${NAMES[unit]}, the scan is ${rounded(extent)} mm across, which no dental arch is`;
  const options = proposals.map((p) => `${NAMES[p.unit]} (${rounded(p.largestExtent)} mm)`);
  return options.length === 0 ? `${size}. Is it the right file?` : `${size}. Is it in ${options.join(" or ")}?`;
}

/** Three digits are enough to see how far off it is. */
const rounded = (value: number): string => String(Number(value.toPrecision(3)));
