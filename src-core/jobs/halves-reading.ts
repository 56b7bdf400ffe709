import { apply } from "../geometry/rigid-transform";
import { type HalvesInput, type HalvesStation, readHalves } from "../readings/halves";
import type { Given, HalvesReading } from "../readings/readings-document";
import { type Assumptions, RAPHE_POINT } from "../readings/uncertainty";
import { type Stations, stationsFrom } from "../readings/width";
import { CONDITION_TO_WARN } from "../registration/fit-quality";
import type { HalvesRegistration } from "../registration/halves-registration";
import { belongNot } from "../registration/identity";
import { pointSet, type SpanEnd } from "./span-end";
import { failureCode, withheld } from "./withheld";

/** The line of the palate is read at most this far outside the registered region, mm. */
const FARTHEST = 5;
/** Length of palate whose mean height counts at a station, to both sides, mm. */
const NEAR = 2;
/** Stations nearer to each other than this tell nothing of an angle, mm. */
const LEAST_LENGTH = 5;

/**
 * The halves of the palate as a reading, from their registrations; withheld where a half has no fit that holds its
 * position, or where it is doubtful that both scans show one patient's palate.
 */
export function halvesReading(
  first: SpanEnd,
  palate: HalvesRegistration,
  assumptions: Assumptions,
): Given<HalvesReading> {
  const { identity, right, left, regions } = palate;
  if (belongNot(identity)) return withheld("not-same-palate", lower(identity.sentence));
  for (const half of [right, left]) {
    if (half.state === "fitted") continue;
    const { subject, problem, remedy } = half.error;
    return withheld(failureCode(half.error), `${lower(subject)}: ${problem}. ${remedy}`);
  }
  if (right.state === "failed" || left.state === "failed" || regions.before === null) {
    return withheld("registration-failed", "no region of the palate could be proposed");
  }
  if (identity.verdict !== "same") return withheld("identity-doubtful", lower(identity.sentence));
  const loose = [right.fit, left.fit].find(({ fit }) => fit.condition > CONDITION_TO_WARN);
  if (loose !== undefined) {
    const side = loose === right.fit ? "right" : "left";
    return withheld(
      "fit-too-uncertain",
      `the ${side} ${palate.of === "palate" ? "half of the palate is" : "crowns are"} too smooth to hold the position (condition ${loose.fit.condition.toFixed(0)}, at most ${CONDITION_TO_WARN})`,
    );
  }
  const places = stationsOf(first, regions.before.whole.mask);
  if (places === null) {
    return withheld(
      "needs-landmark",
      `needs landmarks of two pairs of teeth at different places along the arch on the ${first.timepoint.name} scan`,
    );
  }
  const frame = first.landmarks.frame!;
  const span = places.cusps.molars - places.cusps.canines;
  // A tilt of the occlusal plane from points a span apart; the direction of the median plane from the raphe's length.
  const tilt = assumptions.pointWidth / span;
  const turn = frame.source === "raphe" ? (Math.SQRT2 * RAPHE_POINT) / frame.rapheLength : tilt;
  return {
    state: "given",
    reading: readHalves(
      {
        of: palate.of,
        right: right.fit.fit,
        left: left.fit.fit,
        toFrame: frame.toFrame,
        ...places,
        frameTurn: [tilt, tilt, turn],
        stationError: assumptions.pointWidth / Math.SQRT2,
      },
      assumptions,
    ),
  };
}

const lower = (text: string): string => (text.charAt(0).toLowerCase() + text.slice(1)).replace(/\.$/, "");

/** The canines' and the first molars' stations with the height of the palate there; null where the arch gives none. */
function stationsOf(
  first: SpanEnd,
  region: Uint8Array,
): Pick<HalvesInput, "front" | "back" | "canines" | "cusps"> | null {
  const stations = stationsFrom(pointSet(first));
  const level = "palatal-gingival";
  const front = stations.front(level);
  const back = stations.back(level);
  if (front === null || back === null || back - front < LEAST_LENGTH) return null;
  const named = stations.named(level);
  const palate = pointsOf(first, region);
  const station = (y: number, words: string): HalvesStation => {
    const reached = Math.min(palate.back + FARTHEST, Math.max(palate.front - FARTHEST, y));
    return { y: reached, height: palate.heightAt(reached), words };
  };
  return {
    front: station(front, named.canines ? "the canines" : "the foremost pair"),
    back: station(back, named.molars ? "the first molars" : "the hindmost pair"),
    canines: front,
    cusps: cuspsOf(stations) ?? { canines: front, molars: back },
  };
}

/** The scale along the arch by which the scanner's figures are known for widths too; null where it cannot be told. */
function cuspsOf(stations: Stations): HalvesInput["cusps"] | null {
  const [canines, molars] = [stations.front("cusp-tip"), stations.back("cusp-tip")];
  const named = stations.named("cusp-tip");
  const known = named.canines && named.molars && canines !== null && molars !== null;
  return known && molars - canines >= LEAST_LENGTH ? { canines, molars } : null;
}

/** The palate's region in the arch frame: where it begins and ends, and its mean height along it. */
function pointsOf({ scan, landmarks }: SpanEnd, region: Uint8Array) {
  const { positions } = scan!.surface.mesh;
  const { toFrame } = landmarks.frame!;
  const ys: number[] = [];
  const zs: number[] = [];
  for (let v = 0; v < region.length; v++) {
    if (region[v] === 0) continue;
    const p = apply(toFrame, [positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!]);
    ys.push(p[1]);
    zs.push(p[2]);
  }
  let front = Infinity;
  let back = -Infinity;
  for (const y of ys) {
    front = Math.min(front, y);
    back = Math.max(back, y);
  }
  const heightAt = (y: number): number => {
    const inside = Math.min(back - NEAR, Math.max(front + NEAR, y));
    // A painted region may have a gap there: then what is nearest to it counts.
    const nearest = ys.reduce((least, one) => Math.min(least, Math.abs(one - inside)), Infinity);
    let sum = 0;
    let count = 0;
    for (let i = 0; i < ys.length; i++) {
      if (Math.abs(ys[i]! - inside) > NEAR + nearest) continue;
      sum += zs[i]!;
      count++;
    }
    return sum / count;
  };
  return { front, back, heightAt };
}
