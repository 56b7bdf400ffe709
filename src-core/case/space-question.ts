import { type ClosedSpace, closedSpaces } from "../arch/closed-space";
import type { Timepoint, VisitDetails } from "./timepoint";

/** What has to be asked of a scan about an extraction, with its words. */
export interface SpaceQuestion extends ClosedSpace {
  readonly text: string;
}

/** The teeth that may have been extracted with the space closed and of which nothing is stated on this scan. */
export function spaceQuestions(timepoint: Pick<Timepoint, "name" | "landmarks" | "details">): SpaceQuestion[] {
  const { name, landmarks, details } = timepoint;
  return closedSpaces(landmarks)
    .filter(({ tooth }) => !details.teeth.some((one) => one.tooth === tooth))
    .map((space) => ({
      ...space,
      text: `On the ${name} scan ${space.mesial} and ${space.distal} stand side by side and nothing is marked on ${space.tooth}. Was ${space.tooth} extracted and its space closed?`,
    }));
}

/** The details with the question answered: what is stated of a tooth is not asked again. */
export function spaceAnswered(details: VisitDetails, tooth: number, isClosed: boolean): VisitDetails {
  const others = details.teeth.filter((one) => one.tooth !== tooth);
  return { ...details, teeth: [...others, { tooth, state: isClosed ? "extracted-space-closed" : "present" }] };
}
