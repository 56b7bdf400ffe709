import type { ArchFrame } from "../arch/arch-frame";
import type { CrownRegistration } from "../arch/crown-registration";
import type { Place } from "../arch/landmark";
import { isRight, kindOf } from "../arch/teeth";
import { apply } from "../geometry/rigid-transform";
import type { Vector3 } from "../geometry/vector";
import {
  type CrownInput,
  crownMotion,
  halfReference,
  pairAngle,
  palatalCuspDrop,
  type Reference,
  wholeReference,
} from "../readings/crowns";
import type { CrownReading, Given, Readings } from "../readings/readings-document";
import type { Assumptions } from "../readings/uncertainty";
import { stationsFrom } from "../readings/width";
import type { HalvesRegistration, PartOutcome } from "../registration/halves-registration";
import type { SpanRegistration } from "./register-span";
import { pointSet, type SpanEnd } from "./span-end";
import { failureCode, withheld } from "./withheld";

/** Standard uncertainty of a crown's directions in the occlusal plane, from middles half a millimetre off, radians. */
const AXES_TURN = 0.05;
/** Distance from canines to first molars where the landmarks do not tell it, mm: average crowns. */
const USUAL_LENGTH = 21;

/**
 * Every crown's motion against its half and against the arch, and the angle between the crowns of a pair of molars.
 */
export function crownReadings(
  first: SpanEnd,
  registered: SpanRegistration | null,
  assumptions: Assumptions,
): Pick<Readings, "crowns" | "crownPairs"> {
  if (registered === null) return { crowns: [], crownPairs: [] };
  const { palate, crowns } = registered;
  const { frame } = first.landmarks;
  if (frame === null) {
    const reason = withheld("frame-not-possible", `needs the arch frame of the ${first.timepoint.name} scan`);
    return { crowns: crowns.map((crown) => ({ tooth: crown.frame.tooth, motion: reason })), crownPairs: [] };
  }
  const inputs = new Map<number, CrownInput>();
  const toInput = inputMaker(first, frame, assumptions);
  const readings = crowns.map((crown): Readings["crowns"][number] => {
    const { tooth } = crown.frame;
    if (crown.result.state === "refused") {
      const { code, text } = crown.result.reason;
      return { tooth, motion: withheld(code, text) };
    }
    const input = toInput(crown);
    inputs.set(tooth, input);
    return { tooth, motion: { state: "given", reading: readingOf(crown, input, first, palate, assumptions) } };
  });
  const crownPairs = [
    ["6-6", 16, 26],
    ["7-7", 17, 27],
  ] as const;
  return {
    crowns: [...readings, ...hiddenCrowns(first, readings)],
    crownPairs: crownPairs.flatMap(([pair, right, left]) => {
      const [a, b] = [inputs.get(right), inputs.get(left)];
      return a === undefined || b === undefined ? [] : [{ pair, angle: pairAngle(a, b, assumptions) }];
    }),
  };
}

/** The teeth whose tipping the registration of their crown gives. */
export const registeredTeeth = ({ crowns }: Pick<Readings, "crowns">): ReadonlySet<number> =>
  new Set(
    crowns.flatMap(({ tooth, motion }) =>
      motion.state === "given" &&
      [motion.reading.againstHalf, motion.reading.againstArch].some((m) => m.state === "given")
        ? [tooth]
        : [],
    ),
  );

/** Crowns all of whose landmarks an appliance covers on the earlier scan. */
function hiddenCrowns({ timepoint, covered }: SpanEnd, readings: Readings["crowns"]): Readings["crowns"] {
  const teeth = new Set(covered.flatMap(({ tooth }) => (tooth === null ? [] : [tooth])));
  for (const { tooth } of readings) teeth.delete(tooth);
  return [...teeth].map((tooth) => ({
    tooth,
    motion: withheld("masked", `not measurable: an appliance covers the crown on the ${timepoint.name} scan`),
  }));
}

function inputMaker(
  first: SpanEnd,
  frame: ArchFrame,
  assumptions: Assumptions,
): (crown: CrownRegistration) => CrownInput {
  const stations = stationsFrom(pointSet(first));
  const level = "cusp-tip";
  const { canines, molars } = stations.named(level);
  const front = canines ? stations.front(level) : null;
  const back = molars ? stations.back(level) : null;
  const length = front !== null && back !== null && back - front >= 5 ? back - front : USUAL_LENGTH;
  const tilt = assumptions.pointWidth / length;
  return ({ frame: crown, middle, result }) => {
    if (result.state === "refused") throw new RangeError("a refused crown has no motion");
    return {
      crown: result.fit,
      axes: [crown.mesial, crown.buccal, crown.occlusal],
      middle,
      toFrame: frame.toFrame,
      axesTurn: [tilt, tilt, AXES_TURN],
      share: front === null ? 1 : (apply(frame.toFrame, middle)[1] - front) / length,
      archLength: length,
    };
  };
}

function readingOf(
  crown: CrownRegistration,
  input: CrownInput,
  first: SpanEnd,
  palate: HalvesRegistration,
  assumptions: Assumptions,
): CrownReading {
  if (crown.result.state === "refused") throw new RangeError("a refused crown has no motion");
  const { tooth } = crown.frame;
  const { fit } = crown.result;
  const half = halfOf(tooth, palate);
  const whole = wholeOf(palate);
  const against = (reference: Given<Reference>): CrownReading["againstHalf"] =>
    reference.state === "withheld"
      ? reference
      : { state: "given", reading: crownMotion(input, reference.reading, assumptions) };
  const at = (place: Place): Vector3 | null =>
    first.landmarks.inUse.find((mark) => mark.tooth === tooth && mark.place === place)?.used ?? null;
  const molar = kindOf(tooth) === "molar";
  const palatal = at(molar ? "mesiopalatal-cusp-tip" : "palatal-cusp-tip");
  const buccal = at(molar ? "mesiobuccal-cusp-tip" : "buccal-cusp-tip");
  return {
    tooth,
    againstHalf: against(half),
    againstArch: against(whole),
    palatalCuspDrop:
      palatal === null
        ? null
        : half.state === "withheld"
          ? half
          : { state: "given", reading: palatalCuspDrop(input, half.reading, palatal, buccal, assumptions) },
    rotation: [...fit.transform.rotation],
    translation: [...fit.transform.translation],
    rms: fit.rms,
    inlierShare: fit.inlierShare,
    overlap: fit.overlap,
    condition: fit.condition,
    area: fit.area,
  };
}

const doubtful = ({ identity }: HalvesRegistration): Given<Reference> =>
  withheld(
    "identity-doubtful",
    identity.sentence.charAt(0).toLowerCase() + identity.sentence.slice(1).replace(/\.$/, ""),
  );

const failure = (of: HalvesRegistration["of"], outcome: PartOutcome): string =>
  outcome.state === "failed"
    ? `needs the registration of the ${of === "palate" ? "palate" : "crowns of each side"}: ${outcome.error.problem}`
    : "";

function halfOf(tooth: number, palate: HalvesRegistration): Given<Reference> {
  if (palate.identity.verdict === "doubtful") return doubtful(palate);
  const half = isRight(tooth) ? palate.right : palate.left;
  if (half.state === "failed") return withheld(failureCode(half.error), failure(palate.of, half));
  return { state: "given", reading: halfReference(half.fit.fit) };
}

function wholeOf(palate: HalvesRegistration): Given<Reference> {
  if (palate.identity.verdict === "doubtful") return doubtful(palate);
  const { whole, right, left } = palate;
  if (whole.state === "failed") return withheld(failureCode(whole.error), failure(palate.of, whole));
  const halves = [right, left].flatMap((half) => (half.state === "fitted" ? [half.fit.fit] : []));
  return {
    state: "given",
    reading: wholeReference(whole.fit.fit.transform, halves.length === 2 ? halves : [whole.fit.fit]),
  };
}
