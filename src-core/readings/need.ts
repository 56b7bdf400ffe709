import { landmarkWords } from "../arch/landmark";
import type { CaseDocument } from "../case/case-document";
import { lowerScanName, type Timepoint } from "../case/timepoint";
import { distance } from "../geometry/vector";
import type { NeedEnd, NeedMethod, NeedReading } from "./need-document";
import { LOWER_TEETH, NEED_METHODS, type NeedDefinition } from "./need-methods";
import { type Given, made, type Quantity, withheldBecause } from "./quantity";
import type { Readings, WidthReading } from "./readings-document";
import { type Assumptions, type Components, pointFigure, quantity, widthComponents, withinError } from "./uncertainty";
import { type PointSet, pointOf } from "./width";

/** One end of the span with its lower arch; `lower` null where no lower scan of that date is in the case. */
export interface NeedSide {
  readonly timepoint: Pick<Timepoint, "name" | "details">;
  readonly lower: PointSet | null;
}

export interface NeedSpan {
  readonly earlier: NeedSide;
  readonly later: NeedSide;
  readonly words: Readings["span"]["words"];
  readonly widths: readonly WidthReading[];
}

/** The first molars stand at the end of the scanner's scale along the arch. */
const AT_MOLARS = 1;

/**
 * Transverse need at the first molars, lower less upper width by named points, each method by itself and each time from
 * two scans of the same date: the lower arch widens too. With the user's over-correction and expected loss, which are
 * entered and not proposed. It holds at the present relation of the jaws front to back.
 * @returns null where neither end has a lower arch and no bite was entered
 */
export function readNeed(
  { plan }: Pick<CaseDocument, "plan">,
  span: NeedSpan,
  assumptions: Assumptions,
): NeedReading | null {
  const { earlier, later } = span;
  const crossbite = crossbites(earlier.timepoint, later.timepoint);
  const some = earlier.lower !== null || later.lower !== null;
  if (!some && crossbite.length === 0) return null;
  const methods = some ? NEED_METHODS.map((definition) => methodOf(definition, span, plan, assumptions)) : [];
  const [cusp, gingival] = (["cusp", "gingival"] as const).map((level) => methods.find((m) => m.level === level));
  return {
    methods,
    disagreement:
      cusp === undefined || gingival === undefined
        ? null
        : {
            earlier: less(cusp.earlier.need, gingival.earlier.need, assumptions),
            later: less(cusp.later.need, gingival.later.need, assumptions),
          },
    overCorrection: plan.overCorrection,
    expectedLossPercent: plan.expectedLossPercent,
    crossbite,
  };
}

function methodOf(
  definition: NeedDefinition,
  span: NeedSpan,
  { overCorrection, expectedLossPercent }: CaseDocument["plan"],
  assumptions: Assumptions,
): NeedMethod {
  const { method, level, upperPoints, lowerPoints, basis, upper, planned } = definition;
  const width = span.widths.find((one) => one.pair === "6-6" && one.level === upper);
  const missing = withheldBecause("needs-landmark", `needs the ${upperPoints}`);
  const earlier = endOf(definition, span.earlier, width?.before ?? missing, assumptions);
  const later = endOf(definition, span.later, width?.after ?? missing, assumptions);
  const expansion = span.words === "expansion";
  const before = earlier.need.state === "given" && !withinError(earlier.need.reading) ? earlier.need.reading : null;
  const wanted =
    planned && expansion && before !== null && before.value > 0 && overCorrection !== null
      ? { ...before, value: before.value + overCorrection }
      : null;
  const share = expectedLossPercent === null ? null : expectedLossPercent / 100;
  const gain = width?.change.state === "given" ? width.change.reading : null;
  return {
    method,
    level,
    upperPoints,
    lowerPoints,
    basis,
    earlier,
    later,
    wanted,
    wantedAfterLoss: wanted === null || share === null ? null : times(wanted, 1 - share),
    needAfterLoss:
      planned && expansion && share !== null && gain !== null && later.need.state === "given"
        ? plus(later.need.reading, times(gain, share))
        : null,
  };
}

function endOf(
  { upper: level, lower: place, lowerPoints }: NeedDefinition,
  { timepoint, lower }: NeedSide,
  upper: Given<Quantity>,
  assumptions: Assumptions,
): NeedEnd {
  const { name } = timepoint;
  const figure = pointFigure(assumptions, level);
  const read = (): Given<Quantity> => {
    if (lower === null) {
      return withheldBecause("needs-scan", "needs a lower scan of the same date");
    }
    const [right, left] = LOWER_TEETH.map((tooth) => pointOf(lower, tooth, place));
    const fault = lower.faults.find((f) => f.place === place && LOWER_TEETH.some((tooth) => tooth === f.tooth));
    if (right !== undefined && left !== undefined) {
      const components = widthComponents(assumptions, AT_MOLARS, figure.pointWidth);
      return made(quantity(distance(right.at, left.at), components, figure.degreesOfFreedom));
    }
    const lacking = LOWER_TEETH.filter((_, i) => [right, left][i] === undefined);
    return fault === undefined
      ? withheldBecause(
          "needs-landmark",
          `needs the ${lacking.length === 2 ? lowerPoints : landmarkWords({ tooth: lacking[0]!, place })} on the scan '${lowerScanName(name)}'`,
        )
      : withheldBecause(fault.code, fault.text);
  };
  const lowerWidth = read();
  const need = less(lowerWidth, upper, assumptions, level);
  return {
    timepoint: name,
    upper,
    lower: lowerWidth,
    need,
    withinMeasurementError: need.state === "given" ? withinError(need.reading) : null,
  };
}

/** a − b of two readings whose errors are taken as independent, or why not. */
function less(
  a: Given<Quantity>,
  b: Given<Quantity>,
  assumptions: Assumptions,
  level?: WidthReading["level"],
): Given<Quantity> {
  if (a.state === "withheld") return a;
  if (b.state === "withheld") return b;
  const [one, other] = [a.reading.components, b.reading.components];
  const joined = (source: keyof Components) => Math.hypot(one[source], other[source]);
  return made(
    quantity(
      a.reading.value - b.reading.value,
      { point: joined("point"), registration: joined("registration"), scanner: joined("scanner") },
      pointFigure(assumptions, level).degreesOfFreedom,
    ),
  );
}

/** A reading times an exact number that is not negative. */
const times = (q: Quantity, by: number): Quantity => ({
  ...q,
  value: q.value * by,
  standardUncertainty: q.standardUncertainty * by,
  expandedUncertainty: q.expandedUncertainty * by,
  components: {
    point: q.components.point * by,
    registration: q.components.registration * by,
    scanner: q.components.scanner * by,
  },
});

/** The sum of two readings that share the later upper width: their errors are added as if they went wholly together. */
function plus(a: Quantity, b: Quantity): Quantity {
  const coverageFactor = Math.max(a.coverageFactor, b.coverageFactor);
  const components = {
    point: a.components.point + b.components.point,
    registration: a.components.registration + b.components.registration,
    scanner: a.components.scanner + b.components.scanner,
  };
  const standardUncertainty = Math.hypot(components.point, components.registration, components.scanner);
  return {
    value: a.value + b.value,
    standardUncertainty,
    expandedUncertainty: coverageFactor * standardUncertainty,
    coverageFactor,
    components,
  };
}

/** How each tooth was entered to bite at either date, from right to left. */
function crossbites(earlier: NeedSide["timepoint"], later: NeedSide["timepoint"]): NeedReading["crossbite"] {
  const entered = (of: NeedSide["timepoint"], tooth: number) =>
    of.details.crossbite.find((one) => one.tooth === tooth)?.relation ?? null;
  const teeth = [...earlier.details.crossbite, ...later.details.crossbite].map(({ tooth }) => tooth);
  return [...new Set(teeth)]
    .sort((a, b) => a - b)
    .map((tooth) => ({ tooth, earlier: entered(earlier, tooth), later: entered(later, tooth) }));
}

/** How many needs are made: those whose two widths stand; what else is missing is told with the widths. */
export const needsMade = (need: NeedReading | null): number =>
  (need?.methods ?? []).flatMap(({ earlier, later }) => [earlier, later]).filter((end) => end.need.state === "given")
    .length;
