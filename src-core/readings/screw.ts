import type { CaseDocument } from "../case/case-document";
import { type Expander, turnsOf } from "../case/expander";
import type { Timepoint } from "../case/timepoint";
import { type TurningInSpan, turningInSpan } from "../case/turning";
import { WIDTHS } from "./catalogue";
import { fixed, millimetres, pairWords } from "./numbers-in-words";
import { type Given, made, withheldBecause } from "./quantity";
import type { HalvesReading, Readings, WidthReading } from "./readings-document";
import type { ScrewLength, ScrewReading } from "./screw-document";

/** What the screw is read beside. */
export interface ScrewSpan {
  readonly from: Pick<Timepoint, "name" | "date">;
  readonly to: Pick<Timepoint, "name" | "date">;
  readonly words: Readings["span"]["words"];
  readonly widths: readonly WidthReading[];
  readonly halves: Given<HalvesReading>;
}

/**
 * What the screw delivered: (opening − closing turns in the mouth) × mm per turn, a figure of the device as entered.
 * Turns made before it was fitted count for its opening and its travel, never as delivered. Beside it stand what was
 * aimed at and what was measured, which are three different things.
 * @returns null where nothing of turns, travel or target is recorded
 */
export function readScrew(
  { identity: { expander }, plan, settings }: Pick<CaseDocument, "identity" | "plan" | "settings">,
  span: ScrewSpan,
): ScrewReading | null {
  const { phases, turnsOpenAtFitting, capacity } = expander;
  if (phases.length === 0 && turnsOpenAtFitting === null && capacity === null && plan.target === null) return null;
  const retention = span.words === "retention";
  const sorted = turningInSpan(expander, span.from.date, span.to.date, retention);
  const delivered = deliveredBy(expander, sorted, span);
  const openedBeforeFitting = beforeFitting(expander);
  const opening = openingOf(expander, sorted, openedBeforeFitting, span);
  const travelLeft = travelOf(expander, opening);
  return {
    phases: [...sorted.within],
    phasesOutside: sorted.earlier.length + sorted.later.length,
    phasesUndated: sorted.within.filter(undated).length,
    netTurns: turnsOf(sorted.within),
    cumulatedTurns: sorted.within.reduce((sum, { turns }) => sum + turns, 0),
    fan: expander.millimetresPerTurnAtEnds !== null,
    delivered,
    openedBeforeFitting,
    opening,
    travelLeft,
    places: retention ? [] : placesOf(span, plan.target),
    separation: retention ? null : separationOf(delivered, span.halves, settings.separationFrom),
    remarks: remarksOf(sorted, span, opening, travelLeft),
  };
}

const undated = ({ from, to }: { from: string | null; to: string | null }): boolean => from === null && to === null;

/** Millimetres of so many turns at both ends of the screw; null where its scale is not entered. */
function lengthOf(turns: number, expander: Expander): ScrewLength | null {
  const { millimetresPerTurn: whole, millimetresPerTurnAtEnds: ends } = expander;
  if (ends !== null) return { front: turns * ends.front, back: turns * ends.back };
  return whole === null ? null : { front: turns * whole, back: turns * whole };
}

const NO_SCALE = withheldBecause("not-entered", "needs the millimetres per turn of the screw");

function deliveredBy(expander: Expander, sorted: TurningInSpan, span: ScrewSpan): Given<ScrewLength> {
  if (expander.phases.length === 0) return withheldBecause("not-entered", "needs the turns made in the mouth");
  const across = [...sorted.acrossEarlier.map(() => span.from), ...sorted.acrossLater.map(() => span.to)][0];
  if (across !== undefined) return turnsAcross(across.name);
  const length = lengthOf(turnsOf(sorted.within), expander);
  return length === null ? NO_SCALE : made(length);
}

const turnsAcross = (scan: string) =>
  withheldBecause(
    "turns-not-dated",
    `a phase of turning began before the ${scan} scan and ended after it: how many of its turns belong to either side is not recorded`,
  );

function beforeFitting(expander: Expander): Given<ScrewLength> {
  if (expander.turnsOpenAtFitting === null) {
    return withheldBecause("not-entered", "needs the turns by which the screw was opened before it was fitted");
  }
  const length = lengthOf(expander.turnsOpenAtFitting, expander);
  return length === null ? NO_SCALE : made(length);
}

function openingOf(
  expander: Expander,
  sorted: TurningInSpan,
  before: Given<ScrewLength>,
  span: ScrewSpan,
): Given<ScrewLength> {
  if (before.state === "withheld") return before;
  if (sorted.acrossLater.length > 0) return turnsAcross(span.to.name);
  const turned = [...sorted.earlier, ...sorted.acrossEarlier, ...sorted.within];
  const length = lengthOf(turnsOf(turned), expander);
  if (length === null) return NO_SCALE;
  return made({ front: before.reading.front + length.front, back: before.reading.back + length.back });
}

function travelOf({ capacity }: Expander, opening: Given<ScrewLength>): Given<number> {
  if (capacity === null) return withheldBecause("not-entered", "needs the whole travel of the screw");
  return opening.state === "withheld"
    ? opening
    : made(capacity - Math.max(opening.reading.front, opening.reading.back));
}

/** The planned place first, then the ends of the arch at the cusps, then the halves of the palate. */
function placesOf({ widths, halves }: ScrewSpan, target: CaseDocument["plan"]["target"]): ScrewReading["places"] {
  const read = (pair: string, level: WidthReading["level"]) =>
    widths.find((width) => width.pair === pair && width.level === level);
  const planned = target === null ? undefined : read(target.pair, target.level);
  const place = (width: WidthReading, aimed: number | null) => ({
    at: `${pairWords(width.pair)}, ${width.at}`,
    target: aimed,
    end: endOf(width.pair),
    measured: width.change,
  });
  const ends = (["3-3", "6-6"] as const)
    .map((pair) => read(pair, "cusp-tip"))
    .filter((width) => width !== undefined && width !== planned) as WidthReading[];
  return [
    ...(target === null ? [] : [planned === undefined ? notMeasured(target) : place(planned, target.millimetres)]),
    ...ends.map((width) => place(width, null)),
    ...(halves.state === "withheld"
      ? [{ at: "halves of the palate", target: null, end: null, measured: halves }]
      : (
          [
            ["front", halves.reading.places.canines, halves.reading.atCanines],
            ["back", halves.reading.places.molars, halves.reading.atMolars],
          ] as const
        ).map(([end, words, opening]) => ({
          at: `halves of the palate at ${words}`,
          target: null,
          end,
          measured: made(opening),
        }))),
  ];
}

function notMeasured({ pair, level, millimetres: aimed }: NonNullable<CaseDocument["plan"]["target"]>) {
  const words = WIDTHS.find((width) => width.pair.name === pair && width.level === level)?.at ?? level;
  const at = `${pairWords(pair)}, ${words}`;
  return {
    at,
    target: aimed,
    end: endOf(pair),
    measured: withheldBecause("needs-landmark", `needs the ${words} of ${pairWords(pair)} on both scans`),
  };
}

/** Which end of the screw a pair of teeth stands at. */
const endOf = (pair: string): "front" | "back" | null =>
  ["3-3", "III-III"].includes(pair) ? "front" : ["6-6", "7-7"].includes(pair) ? "back" : null;

/**
 * Whether the two palatal surfaces moved apart at all once the screw delivered enough to ask: both openings within
 * their own error say that none was detected; an error beyond half of what was delivered says that it cannot be told.
 * It speaks of surfaces, neither of suture nor of bone.
 * @param from smallest delivery at which the question is put, mm
 */
function separationOf(
  delivered: Given<ScrewLength>,
  halves: Given<HalvesReading>,
  from: number,
): ScrewReading["separation"] {
  if (delivered.state === "withheld") return null;
  const { front, back } = delivered.reading;
  const most = Math.max(front, back);
  if (most < from) return null;
  const although = `although the screw delivered ${millimetres(most)}`;
  if (halves.state === "withheld") {
    return {
      verdict: "cannot-be-told",
      sentence: `Whether the palatal surfaces separated cannot be told: ${halves.reason.text}.`,
    };
  }
  const { atCanines, atMolars, places } = halves.reading;
  const asked = [
    { turned: front, opening: atCanines, at: places.canines },
    { turned: back, opening: atMolars, at: places.molars },
  ].filter(({ turned }) => turned >= from);
  if (asked.some(({ opening }) => opening.value > opening.expandedUncertainty)) {
    return { verdict: "detected", sentence: "The two palatal surfaces moved apart beyond measurement error." };
  }
  const unsure = asked.find(({ opening, turned }) => opening.expandedUncertainty > turned / 2);
  if (unsure !== undefined) {
    return {
      verdict: "cannot-be-told",
      sentence: `Whether the palatal surfaces separated cannot be told: the opening at ${unsure.at} is uncertain by ${millimetres(unsure.opening.expandedUncertainty)}, more than half of what the screw delivered (${millimetres(unsure.turned)}).`,
    };
  }
  return { verdict: "none-detected", sentence: `No separation of the palatal surfaces detected ${although}.` };
}

function remarksOf(
  sorted: TurningInSpan,
  span: ScrewSpan,
  opening: Given<ScrewLength>,
  travelLeft: Given<number>,
): string[] {
  const remarks: string[] = [];
  const { within, earlier, later } = sorted;
  const all = [...earlier, ...within, ...later];
  const without = all.filter(undated).length;
  const phases = (n: number) => (n === 1 ? "1 phase of turning" : `${n} phases of turning`);
  if (without > 0) {
    const taken = span.words === "retention" ? `before the ${span.from.name} scan` : "between the two scans";
    remarks.push(`${phases(without)} without a date ${without === 1 ? "is" : "are"} taken to lie ${taken}.`);
  }
  const unlimited = [span.from, span.to].filter(({ date }) => date === null);
  if (unlimited.length > 0 && without < all.length) {
    remarks.push(
      `Without a date of the ${unlimited.map(({ name }) => name).join(" and the ")} scan no phase could be told apart by it.`,
    );
  }
  const outside = [...earlier, ...later].filter((phase) => !undated(phase)).length;
  if (outside > 0)
    remarks.push(`${phases(outside)} outside the two scans ${outside === 1 ? "is" : "are"} not counted as delivered.`);
  if (
    within.some(({ direction }) => direction === "closing") &&
    within.some(({ direction }) => direction === "opening")
  ) {
    remarks.push("Opening and closing alternate: forward movement cannot be read from an upper scan.");
  }
  if (opening.state === "given" && Math.min(opening.reading.front, opening.reading.back) < 0) {
    remarks.push("The record has more closing turns than the screw was open: check the turns.");
  }
  if (travelLeft.state === "given" && travelLeft.reading < 0) {
    remarks.push(
      `The recorded turns exceed the screw’s whole travel by ${fixed(-travelLeft.reading, 1)} mm: check the turns and the millimetres per turn.`,
    );
  }
  return remarks;
}
