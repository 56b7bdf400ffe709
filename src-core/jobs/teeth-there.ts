import { spaceQuestions } from "../case/space-question";
import type { Readings, Warning } from "../readings/readings-document";
import { changeAwayReason } from "../readings/tooth-reasons";
import type { Assumptions } from "../readings/uncertainty";
import { crownReadings } from "./crown-readings";
import type { SpanRegistration } from "./register-span";
import type { SpanEnd } from "./span-end";

/** The crowns' readings, those of teeth that are not there at both times withheld with the reason. */
export function crownsThere(
  [first, second]: readonly [SpanEnd, SpanEnd],
  registered: SpanRegistration | null,
  assumptions: Assumptions,
): Pick<Readings, "crowns" | "crownPairs"> {
  if (registered === null) return crownReadings(first, null, assumptions);
  const names: [string, string] = [first.timepoint.name, second.timepoint.name];
  const reasonOf = (tooth: number) => changeAwayReason(first.away, second.away, [tooth], names);
  const there = registered.crowns.filter(({ frame }) => reasonOf(frame.tooth) === null);
  const { crowns, crownPairs } = crownReadings(first, { ...registered, crowns: there }, assumptions);
  const of = new Map(crowns.map((crown) => [crown.tooth, crown]));
  const marked = [first, second].flatMap(({ landmarks }) => landmarks.inUse.flatMap(({ tooth }) => tooth ?? []));
  const away = [...new Set(marked)].flatMap((tooth): Readings["crowns"] => {
    const reason = of.has(tooth) ? null : reasonOf(tooth);
    return reason === null ? [] : [{ tooth, motion: { state: "withheld", reason } }];
  });
  return { crowns: [...crowns, ...away], crownPairs };
}

/** Teeth whose statement and landmarks contradict each other, and extractions, which a scan does not show: stated or to be asked. */
export function toothWarnings({ timepoint, away, contradicted }: SpanEnd): Warning[] {
  const warning = (code: string, text: string): Warning => ({ code, timepoint: timepoint.name, text });
  const sentence = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
  const closed = away.filter(({ why }) => why === "space-closed").map(({ tooth }) => tooth);
  return [
    ...contradicted.map(({ tooth, text }) =>
      warning(
        "landmark-on-absent-tooth",
        `${sentence(text)}, but landmarks were placed on ${tooth} there: they are not used. Correct the tooth's state or take them away.`,
      ),
    ),
    ...(closed.length === 0
      ? []
      : [
          warning(
            "space-closed",
            `On the ${timepoint.name} scan the space of ${closed.join(", ")} is closed after extraction: compare this arch's length and perimeter only with arches of the same extractions.`,
          ),
        ]),
    ...spaceQuestions(timepoint).map(({ tooth, text }) =>
      warning(
        "space-to-be-asked",
        `${text} State how ${tooth} stands: arches with extractions are compared only among themselves.`,
      ),
    ),
  ];
}
