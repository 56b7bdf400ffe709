import type { Timepoint } from "../case/timepoint";
import { exchangePartner, isErupting, type ToothAway } from "../case/tooth-standing";
import type { Withheld } from "./quantity";

const reason = (code: Withheld["code"], text: string): Withheld => ({ code, text, needs: [] });

/** Why a reading that takes these teeth is withheld on a scan, or null where all of them stand there. */
export function awayReason(away: readonly ToothAway[], teeth: readonly number[]): Withheld | null {
  const found = away.find(({ tooth }) => teeth.includes(tooth));
  return found === undefined ? null : reason("tooth-not-there", found.text);
}

/**
 * Why a change of a reading that takes these teeth is withheld: one of them is not there at one of the times. Where a
 * deciduous tooth and its successor stand in one place the two are not one tooth, and no change is read.
 * @param names of the two timepoints
 */
export function changeAwayReason(
  first: readonly ToothAway[],
  second: readonly ToothAway[],
  teeth: readonly number[],
  names: readonly [string, string],
): Withheld | null {
  for (const tooth of teeth) {
    const [before, after] = [first, second].map((list) => list.find((one) => one.tooth === tooth));
    if ((before?.why === "exchanged") === (after?.why === "exchanged")) continue;
    const partner = exchangePartner(tooth)!;
    const [early, late] = before?.why === "exchanged" ? [partner, tooth] : [tooth, partner];
    return reason(
      "tooth-changed",
      `${early} on the ${names[0]} scan and ${late} on the ${names[1]} scan are not the same tooth`,
    );
  }
  return awayReason(first, teeth) ?? awayReason(second, teeth);
}

/** Why a height of a tooth is withheld: it is still erupting on that scan. */
export const eruptingReason = (timepoint: Pick<Timepoint, "details" | "name">, tooth: number): Withheld | null =>
  isErupting(timepoint, tooth)
    ? reason("tooth-erupting", `tooth ${tooth} is erupting on the ${timepoint.name} scan: its height changes by itself`)
    : null;
