import type { Warning } from "../readings/readings-document";
import type { SpanEnd } from "./span-end";

/** What the user should know of painted areas although measuring went on. */
export function paintingWarnings(first: SpanEnd, second: SpanEnd): Warning[] {
  return [...[first, second].flatMap(coveredPalate), ...laterReferenceOnly(first, second)];
}

/** Covered points of teeth give their reason in their own rows; those of the palate have none. */
const coveredPalate = ({ timepoint, covered }: SpanEnd): Warning[] =>
  covered.flatMap(({ tooth, text }) =>
    tooth === null ? [{ code: "masked", timepoint: timepoint.name, text: `Not used: ${text}.` }] : [],
  );

function laterReferenceOnly(first: SpanEnd, second: SpanEnd): Warning[] {
  if (first.reference !== null || second.reference === null) return [];
  return [
    {
      code: "reference-on-later-scan",
      timepoint: second.timepoint.name,
      text: `The reference painted on the ${second.timepoint.name} scan only checks the registration the other way round; paint it on the ${first.timepoint.name} scan to register by it.`,
    },
  ];
}
