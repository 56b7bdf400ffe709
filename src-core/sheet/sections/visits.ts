import type { Timepoint, VisitDetails } from "../../case/timepoint";
import type { FactsBlock } from "../sheet";
import { comparedTimepoints, type SheetContext } from "./context";

type Fact = FactsBlock["facts"][number];

/** What is stated of a tooth that is not simply there. */
export const TOOTH_WORDS: Readonly<Record<VisitDetails["teeth"][number]["state"], string>> = {
  present: "present",
  deciduous: "deciduous",
  erupting: "erupting",
  missing: "missing",
  "extracted-space-closed": "extracted, space closed",
};

export const BITE_WORDS: Readonly<Record<VisitDetails["crossbite"][number]["relation"], string>> = {
  normal: "normal",
  "edge-to-edge": "edge to edge",
  crossbite: "crossbite",
  "scissor-bite": "scissor bite",
};

export const APPLIANCE_WORDS: Readonly<Record<VisitDetails["appliance"]["kind"], string>> = {
  "not stated": "not stated",
  none: "none",
  "over-the-palate": "over the palate",
  bands: "bands",
  "bonded-splint": "bonded splint",
  removed: "removed",
};

/** Teeth by what is stated of them: 'missing 15, 25; erupting 13'. */
function byWords(stated: readonly (readonly [tooth: number, words: string])[]): string {
  const words = [...new Set(stated.map(([, word]) => word))];
  const teeth = (word: string) =>
    stated
      .filter((one) => one[1] === word)
      .map(([tooth]) => tooth)
      .sort((a, b) => a - b);
  return words.map((word) => `${word} ${teeth(word).join(", ")}`).join("; ");
}

/** The stated teeth of a visit in words; empty where nothing is stated. */
export const teethText = ({ teeth }: Pick<VisitDetails, "teeth">): string =>
  byWords(teeth.filter(({ state }) => state !== "present").map(({ tooth, state }) => [tooth, TOOTH_WORDS[state]]));

/** The bite of a visit in words; empty where nothing is stated. */
export const biteText = ({ crossbite }: Pick<VisitDetails, "crossbite">): string =>
  byWords(crossbite.map(({ tooth, relation }) => [tooth, BITE_WORDS[relation]]));

/** The appliance in words; empty where it is not stated. */
export function applianceText({ kind, removedDaysAgo, teeth }: VisitDetails["appliance"]): string {
  if (kind === "not stated") return "";
  const ago =
    kind === "removed" && removedDaysAgo !== null
      ? removedDaysAgo === 0
        ? " on the day of the scan"
        : ` ${removedDaysAgo} ${removedDaysAgo === 1 ? "day" : "days"} before the scan`
      : "";
  return `${APPLIANCE_WORDS[kind]}${ago}${teeth.length === 0 ? "" : ` (${teeth.join(", ")})`}`;
}

/** What is stated of the two compared visits, one fact each; none where nothing is. The bite has its own
 * table, the scanner stands with the scans. */
export function visitFacts(context: SheetContext): Fact[] {
  const { from, to } = comparedTimepoints(context);
  return [from, to].flatMap((timepoint) => (timepoint === null ? [] : factOf(timepoint)));
}

function factOf({ name, details }: Timepoint): Fact[] {
  const appliance = applianceText(details.appliance);
  const parts = [
    appliance === "" ? "" : `appliance ${appliance}`,
    teethText(details),
    details.fixedApplianceActive ? "fixed appliance active" : "",
    details.uprightingIntended ? "uprighting intended" : "",
  ].filter((part) => part !== "");
  return parts.length === 0 ? [] : [{ label: `at the ${name} scan`, value: parts.join("; ") }];
}
