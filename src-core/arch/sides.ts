import { RapheError } from "../errors";
import type { ArchFrame } from "./arch-frame";
import { inFrame } from "./arch-frame";
import type { Landmark } from "./landmark";
import { isRight } from "./teeth";

/** Code of notices and faults about right and left. */
export const RIGHT_AND_LEFT = "right-and-left";

/** A tooth counts as on the wrong side where its landmarks lie beyond the median plane by this much on average, mm (a convention: crowded incisors cross it by less). */
const BEYOND = 2;

/** Teeth that their landmarks put on the other side of the median plane than their numbers say, in order. */
export function onWrongSide(marks: readonly Landmark[], frame: ArchFrame): number[] {
  const across = new Map<number, number[]>();
  for (const { tooth, at } of marks) {
    if (tooth === undefined) continue;
    across.set(tooth, [...(across.get(tooth) ?? []), inFrame(frame, at)[0]]);
  }
  return [...across].flatMap(([tooth, xs]) => {
    const mean = xs.reduce((sum, x) => sum + x, 0) / xs.length;
    return (isRight(tooth) ? mean : -mean) > BEYOND ? [tooth] : [];
  });
}

/** What is said of a scan all of whose cusps point to the head. */
export const exchangedArch = (scan: string): string =>
  `On the ${scan} scan the cusps point to the head: have right and left been exchanged, is the scan mirrored, or is it of the lower arch? Correct the numbers of the teeth, or take the upper scan as it was made; until then its landmarks are not used.`;

/** What is said of single teeth on the wrong side. */
export function exchangedTeeth(teeth: readonly number[], scan: string): string {
  const lie = teeth.map((tooth) => `${tooth} on the ${isRight(tooth) ? "left" : "right"}`);
  const list = lie.length === 1 ? lie[0]! : `${lie.slice(0, -1).join(", ")} and ${lie.at(-1)!}`;
  return `On the ${scan} scan the landmarks of ${list} side are on the wrong side of the arch: have right and left been exchanged? Correct the numbers of the teeth; until then these landmarks are not used.`;
}

/** Why such a landmark cannot be used. */
export const wrongSideError = (scan: string): RapheError =>
  new RapheError({
    code: RIGHT_AND_LEFT,
    subject: scan,
    problem: `right and left have been exchanged on the ${scan} scan, or it is mirrored or of the lower arch`,
    remedy: "Correct the numbers of the teeth",
  });
