import { RIGHT_AND_LEFT } from "../arch/sides";
import type { Withheld } from "../readings/readings-document";
import { belongNot } from "../registration/identity";
import type { SpanRegistration } from "./register-span";
import type { SpanEnd } from "./span-end";

/** Why the two scans of a span are not registered, as a withheld reading says it. */
export interface NotRegistered {
  readonly code: Withheld["code"];
  readonly text: string;
  /** To be warned of beside: more than a lack of landmarks. */
  readonly suspected?: true;
}

/** Why one of two scans has no arch frame, by which all registrations start. */
export function withoutFrame(first: SpanEnd, second: SpanEnd): NotRegistered {
  const end = [first, second].find(({ landmarks }) => landmarks.frame === null) ?? second;
  return { code: "frame-not-possible", text: whyNoFrame(end) };
}

function whyNoFrame({ timepoint, landmarks }: SpanEnd): string {
  const { name } = timepoint;
  const exchanged = landmarks.notices.find(({ code }) => code === RIGHT_AND_LEFT);
  if (exchanged !== undefined) return exchanged.text.replace(/\.$/, "");
  const astray = landmarks.faults.filter(({ error }) => error.code === "landmark-off-surface").length;
  const needed = `needs the arch frame of the ${name} scan`;
  if (astray > timepoint.landmarks.length / 2)
    return `${needed}, and ${astray} of its ${timepoint.landmarks.length} landmarks lie off its surface`;
  const degenerate = landmarks.notices.find(({ code }) => code === "frame-degenerate");
  if (degenerate !== undefined) return `${needed}; ${degenerate.text.replace(/\.$/, "")}`;
  return `${needed}: the cusp tips of two pairs of teeth`;
}

/** The ends of a span, the later one marked where nothing on it may be compared with the earlier one. */
export function comparedEnds(
  [first, second]: readonly [SpanEnd, SpanEnd],
  registered: SpanRegistration | null,
): [SpanEnd, SpanEnd] {
  if (registered === null || !belongNot(registered.palate.identity)) return [first, second];
  const text = registered.palate.identity.sentence;
  const plain = text.charAt(0).toLowerCase() + text.slice(1).replace(/\.$/, "");
  return [first, { ...second, notComparable: { code: "not-same-palate", text: plain, needs: [] } }];
}
