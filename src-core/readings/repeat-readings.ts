import { z } from "zod";
import {
  limitsOfAgreement,
  repeatabilityCoefficient,
  smallestDetectableChange,
  smallestDetectableOfChanges,
} from "../statistics/agreement";
import { dahlbergError } from "../statistics/dahlberg";
import type { RepeatedPair } from "../statistics/estimate";
import { WIDTHS, type WidthDefinition } from "./catalogue";
import { Interval, WidthLevel } from "./quantity";
import type { Assumptions, PointFigure } from "./uncertainty";
import { type PointSet, straightWidth } from "./width";

/** From fewer pairs of repeated widths the assumed figure stays. */
export const LEAST_REPEATS = 10;

/** Error of one examiner's readings, from readings made twice; mm. */
export const RepeatFigures = z.strictObject({
  /** Pairs of repeated readings. */
  n: z.number().int(),
  /** Dahlberg's error of one reading; it contains the bias. */
  error: z.number().nonnegative(),
  /** Mean of first less second reading, 95 % interval. */
  bias: Interval,
  errorWithoutBias: z.number().nonnegative(),
  /** Limits of agreement, each with its 95 % interval. */
  lower: Interval,
  upper: Interval,
  /** Two readings of the same differ by less in 95 % of cases. */
  repeatability: z.number().nonnegative(),
  /** The smallest change that the hand's error alone does not explain (95 %), from one reading of each scan. */
  smallestDetectableChange: z.number().nonnegative(),
});
export type RepeatFigures = z.infer<typeof RepeatFigures>;

const Reason = z.strictObject({ code: z.enum(["too-few-repeats", "repeats-do-not-differ"]), text: z.string() });
const orReason = <T extends z.ZodType>(schema: T) =>
  z.discriminatedUnion("state", [
    z.strictObject({ state: z.literal("given"), reading: schema }),
    z.strictObject({ state: z.literal("withheld"), reason: Reason }),
  ]);

/** What the examiner's repeats tell of the widths of one level. */
export const LevelRepeats = z.strictObject({
  level: WidthLevel,
  widths: orReason(RepeatFigures),
  /** Of changes, where both scans of the span carry repeats: widths themselves spread much more than their changes. */
  changes: orReason(RepeatFigures),
  /** The figure that replaces the assumed one for placing points by hand. */
  pointFigure: orReason(z.strictObject({ pointWidth: z.number().positive(), degreesOfFreedom: z.number().positive() })),
});
export type LevelRepeats = z.infer<typeof LevelRepeats>;

export const RepeatReadings = z.strictObject({ levels: z.array(LevelRepeats) });
export type RepeatReadings = z.infer<typeof RepeatReadings>;

/** The landmarks of one scan, placed several times by one examiner, in the order of placing. */
export interface RepeatedSets {
  readonly timepoint: string;
  readonly sets: readonly PointSet[];
}

type OrReason<T> = { state: "given"; reading: T } | { state: "withheld"; reason: z.infer<typeof Reason> };

/**
 * The examiner's own figures per level of widths, from landmarks placed repeatedly on the same scans. Sets are compared
 * in twos, first with second, third with fourth, so that pairs stay independent; an odd one at the end is not used.
 * @param repeats one entry per scan; sets by one examiner only
 * @param span names of the two timepoints whose changes are read
 * @returns the levels of which at least one width was repeated
 */
export function readRepeats(
  repeats: readonly RepeatedSets[],
  span: { readonly from: string; readonly to: string },
): RepeatReadings {
  const levels = WidthLevel.options.flatMap((level): LevelRepeats[] => {
    const definitions = WIDTHS.filter((definition) => definition.level === level);
    const pairs = repeats.flatMap(({ sets }) =>
      twos(sets).flatMap(([first, second]) =>
        pairedValues(definitions, (definition) => [
          straightWidth(first, definition),
          straightWidth(second, definition),
        ]),
      ),
    );
    if (pairs.length === 0) return [];
    const setsAt = (name: string) => twos(repeats.find(({ timepoint }) => timepoint === name)?.sets ?? []);
    const later = setsAt(span.to);
    const changes = setsAt(span.from).flatMap((before, i) => {
      const after = later[i];
      if (after === undefined) return [];
      return pairedValues(definitions, (definition) =>
        [0, 1].map((k) => {
          const [a, b] = [straightWidth(before[k]!, definition), straightWidth(after[k]!, definition)];
          return a === null || b === null ? null : b - a;
        }),
      );
    });
    return [
      {
        level,
        widths: figuresOf(pairs, smallestDetectableChange),
        changes: figuresOf(changes, smallestDetectableOfChanges),
        pointFigure: examinerPointFigure(pairs),
      },
    ];
  });
  return { levels };
}

/**
 * The point figure of a width from repeated widths: Dahlberg's error, which contains the bias, with as many degrees of
 * freedom as pairs. From fewer than ten pairs the assumed figure stays.
 * @param pairs widths of one level read twice on the same scan, mm
 */
export function examinerPointFigure(pairs: readonly RepeatedPair[]): OrReason<PointFigure> {
  if (pairs.length < LEAST_REPEATS) {
    return withheld(
      "too-few-repeats",
      `${LEAST_REPEATS} repeated widths are needed, ${pairs.length} ${pairs.length === 1 ? "is" : "are"} there: the assumed figure stays`,
    );
  }
  const error = dahlbergError(pairs);
  if (error.state === "withheld") return notDiffering();
  return { state: "given", reading: { pointWidth: error.reading.error, degreesOfFreedom: pairs.length } };
}

/**
 * The figures that uncertainty is computed from, with the examiner's own in the place of the assumed ones where the
 * repeats give them: for widths level by level, for directions of frame and crowns, which come from cusp tips, those of
 * the cusp tips. Scanner and registration stay as they are.
 */
export function withRepeats(assumptions: Assumptions, { levels }: RepeatReadings): Assumptions {
  const own = levels.flatMap(({ level, pointFigure }) =>
    pointFigure.state === "given" ? [[level, pointFigure.reading] as const] : [],
  );
  const cusps = own.find(([level]) => level === "cusp-tip")?.[1];
  return {
    ...assumptions,
    ...(cusps === undefined ? {} : { pointWidth: cusps.pointWidth, pointDegreesOfFreedom: cusps.degreesOfFreedom }),
    // Every level keeps to its own repeats: one without enough of them to the assumed figure.
    pointByLevel: Object.fromEntries(
      WidthLevel.options.map((level) => {
        const figure = own.find(([name]) => name === level)?.[1];
        return [level, figure ?? { pointWidth: assumptions.pointWidth, degreesOfFreedom: Number.POSITIVE_INFINITY }];
      }),
    ),
  };
}

const withheld = <T>(code: z.infer<typeof Reason>["code"], text: string): OrReason<T> => ({
  state: "withheld",
  reason: { code, text },
});
const notDiffering = <T>(): OrReason<T> =>
  withheld("repeats-do-not-differ", "the repeats differ nowhere, or all alike: they look like copies, not readings");

const twos = <T>(list: readonly T[]): [T, T][] =>
  Array.from({ length: Math.floor(list.length / 2) }, (_, i) => [list[2 * i]!, list[2 * i + 1]!]);

/** The definitions' values read twice, of those that could be. */
function pairedValues(
  definitions: readonly WidthDefinition[],
  values: (definition: WidthDefinition) => readonly (number | null)[],
): RepeatedPair[] {
  return definitions.flatMap((definition): RepeatedPair[] => {
    const [first, second] = values(definition);
    return first == null || second == null ? [] : [[first, second]];
  });
}

function figuresOf(pairs: readonly RepeatedPair[], detectable: (error: number) => number): OrReason<RepeatFigures> {
  const error = dahlbergError(pairs);
  const agreement = limitsOfAgreement(pairs);
  if (error.state === "withheld" || agreement.state === "withheld") {
    return pairs.length < 2 ? withheld("too-few-repeats", "two repeated readings are needed") : notDiffering();
  }
  return {
    state: "given",
    reading: {
      n: error.reading.n,
      error: error.reading.error,
      bias: { ...agreement.reading.bias },
      errorWithoutBias: error.reading.errorWithoutBias,
      lower: { ...agreement.reading.lower },
      upper: { ...agreement.reading.upper },
      repeatability: repeatabilityCoefficient(error.reading.error),
      smallestDetectableChange: detectable(error.reading.error),
    },
  };
}
