import type { RigidTransform } from "../geometry/rigid-transform";
import type { JobControl } from "../job-control";
import type {
  DistanceSummary,
  Given,
  HalvesReading,
  Readings,
  RegistrationReading,
  Warning,
  Withheld,
} from "../readings/readings-document";
import type { Assumptions } from "../readings/uncertainty";
import type { HalvesRegistration, PartName, PartOutcome } from "../registration/halves-registration";
import { belongNot } from "../registration/identity";
import { halvesReading } from "./halves-reading";
import { measuredDistances } from "./measured-distances";
import type { NotRegistered } from "./not-registered";
import type { SpanEnd } from "./span-end";
import { failureCode, withheld } from "./withheld";

/** The later scan laid on the earlier one by the palate, and the distance between them. */
export interface LaidOver {
  readonly registrations: Readings["registrations"];
  readonly halves: Given<HalvesReading>;
  readonly distance: Given<DistanceSummary>;
  /** Later scan's file coordinates (mm) → the earlier scan's; null where none is to be trusted. */
  readonly overlay: RigidTransform | null;
  readonly warnings: readonly Warning[];
  /** Registration, halves and distance map count as asked where raphe and papilla stand on a scan. */
  readonly asked: number;
  readonly made: number;
}

/** Nothing laid over, for the reason given. */
export function nothingLaidOver(text: string, asked = 0, code: Withheld["code"] = "needs-landmark"): LaidOver {
  return {
    registrations: [withheld(code, text)],
    halves: withheld(code, text),
    distance: withheld(code, text),
    overlay: null,
    warnings: [],
    asked,
    made: 0,
  };
}

/** The halves as far as they are the palate's own: what groups of crowns do says nothing of the palatal surfaces. */
export const ofPalate = (halves: Given<HalvesReading>): Given<HalvesReading> =>
  halves.state === "given" && halves.reading.of === "crowns"
    ? withheld("registration-failed", "the scans do not show the palate, only crowns, which may have tipped")
    : halves;

const showsPalate = ({ timepoint, landmarks }: SpanEnd): boolean =>
  [...timepoint.landmarks, ...landmarks.inUse].some(
    ({ place }) => place === "median-raphe" || place === "incisive-papilla",
  );

/**
 * How the halves of the palate moved against each other, and the distance under the fit of the whole palate.
 * @param palate or the crowns of each side; or why neither is registered
 * @throws RapheError `cancelled`
 */
export function layOver(
  first: SpanEnd,
  second: SpanEnd,
  palate: HalvesRegistration | NotRegistered,
  assumptions: Assumptions,
  job: JobControl,
): LaidOver {
  const asked = showsPalate(first) || showsPalate(second) ? 3 : 0;
  if ("text" in palate) {
    const warnings = palate.suspected ? [identityWarning(`${palate.text}.`)] : [];
    return { ...nothingLaidOver(palate.text, asked, palate.code), warnings };
  }
  const warnings: Warning[] = palate.warnings.map(({ code, text }) => ({ code, timepoint: null, text }));
  const { verdict, sentence } = palate.identity;
  if (belongNot(palate.identity))
    return {
      ...nothingLaidOver(sentence, asked, "not-same-palate"),
      warnings: [...warnings, identityWarning(sentence)],
    };
  if (verdict !== "same") warnings.push(identityWarning(sentence));
  const registrations = [palate.whole, palate.right, palate.left].map(registrationReading);
  const halves = halvesReading(first, palate, assumptions);
  if (palate.whole.state === "failed") {
    const { problem, remedy } = palate.whole.error;
    return {
      ...nothingLaidOver(
        `${palate.of === "palate" ? "the palate" : "the crowns"} could not be registered: ${problem}. ${remedy}`,
        asked,
        failureCode(palate.whole.error),
      ),
      registrations,
      halves,
      warnings,
      made: madeOf(asked, halves, 0),
    };
  }
  const overlay = palate.whole.fit.afterToBefore;
  job.progress(0, "Measuring the distance");
  const end = ({ timepoint, scan, reference }: SpanEnd) => ({ name: timepoint.name, scan: scan!, reference });
  const { summary } = measuredDistances(end(first), end(second), overlay, palate.whole.fit.region, job);
  return {
    registrations,
    halves,
    distance: { state: "given", reading: summary },
    overlay,
    warnings,
    asked,
    made: madeOf(asked, halves, 2),
  };
}

const madeOf = (asked: number, halves: Given<HalvesReading>, others: number): number =>
  asked === 0 ? 0 : others + (halves.state === "given" ? 1 : 0);

const identityWarning = (text: string): Warning => ({ code: "identity", timepoint: null, text });

function registrationReading(outcome: PartOutcome): Given<RegistrationReading> {
  if (outcome.state === "failed") {
    const { subject, problem, remedy } = outcome.error;
    return withheld(failureCode(outcome.error), `${subject}: ${problem}. ${remedy}`);
  }
  const { region, label, fit, afterToBefore } = outcome.fit;
  return {
    state: "given",
    reading: {
      region: region satisfies PartName,
      label,
      rotation: [...afterToBefore.rotation],
      translation: [...afterToBefore.translation],
      iterations: fit.iterations,
      points: fit.points,
      rms: fit.rms,
      inlierShare: fit.inlierShare,
      condition: fit.condition,
      sentence: fit.sentence,
    },
  };
}
