import type { CaseDocument } from "../case/case-document";
import { coverageFactor95, effectiveDegreesOfFreedom } from "../statistics/quantiles";
import type { Quantity, WidthLevel } from "./readings-document";

/** u of a width from points placed by hand, mm, and how well it is known. */
export interface PointFigure {
  readonly pointWidth: number;
  /** Infinite for an assumed figure. */
  readonly degreesOfFreedom: number;
}

/**
 * The figures that uncertainty is computed from. `pointWidth` is an assumption unless it comes with degrees of freedom,
 * which repeated readings have.
 */
export type Assumptions = Pick<CaseDocument["settings"], "delta" | "scanner" | "pointWidth"> & {
  /** Of `pointWidth`; infinite where absent. */
  readonly pointDegreesOfFreedom?: number;
  /** The examiner's own figures for widths of a level, in the place of `pointWidth`. */
  readonly pointByLevel?: Readonly<Partial<Record<WidthLevel, PointFigure>>>;
};

/** The point figure of widths of a level; without level that of everything else, such as the frame's directions. */
export function pointFigure(assumptions: Assumptions, level?: WidthLevel): PointFigure {
  const own = level === undefined ? undefined : assumptions.pointByLevel?.[level];
  return (
    own ?? {
      pointWidth: assumptions.pointWidth,
      degreesOfFreedom: assumptions.pointDegreesOfFreedom ?? Number.POSITIVE_INFINITY,
    }
  );
}

/** Standard uncertainty of a point of the median raphe across it, mm: an assumption. */
export const RAPHE_POINT = 0.3;

/** Standard uncertainties by source, mm. */
export interface Components {
  readonly point: number;
  readonly registration: number;
  readonly scanner: number;
}

/** Where a pair stands between canines (0) and first molars (1) when its landmarks do not tell: average crown sizes. */
const USUAL_SHARE: Readonly<Record<string, number>> = {
  "3-3": 0,
  "4-4": 0.33,
  "5-5": 0.62,
  "6-6": 1,
  "7-7": 1.45,
  "III-III": 0,
  "IV-IV": 0.33,
  "V-V": 0.62,
};

/** The share for a pair without stations. */
export const usualShare = (pair: string): number => USUAL_SHARE[pair] ?? 1;

/**
 * The scanner's correlated part of a width on one scan, mm: the given figure at the canines, rising in proportion to
 * the distance behind them to the figure at the first molars and on. An assumption within the published 0.1 to 0.3 mm
 * across the arch.
 * @param share distance behind the canines over the distance from canines to first molars
 */
export function scannerAcross(assumptions: Assumptions, share: number): number {
  const { atCanines, atMolars } = assumptions.scanner;
  return Math.max(0, atCanines + (atMolars - atCanines) * Math.max(0, share));
}

/** Components of a width on one scan, its points placed by hand; `pointWidth` is the point figure of its level. */
export function widthComponents(assumptions: Assumptions, share: number, pointWidth: number): Components {
  const across = scannerAcross(assumptions, share);
  const local = assumptions.scanner.local;
  return { point: pointWidth, registration: 0, scanner: Math.sqrt(across * across + local * local) };
}

/** Components of a change between two scans whose points were placed by hand on both, independently. */
export function changeComponents(assumptions: Assumptions, share: number, pointWidth: number): Components {
  const one = widthComponents(assumptions, share, pointWidth);
  return { point: Math.SQRT2 * one.point, registration: 0, scanner: Math.SQRT2 * one.scanner };
}

/**
 * Degrees of freedom of a sum whose point part alone is known from a limited number of repeats (Welch–Satterthwaite,
 * JCGM 100:2008, G.4); the other parts are assumed figures, or rest on thousands of points.
 * @param point the point part, in the unit of the whole
 * @param whole standard uncertainty of the sum
 */
export function degreesOfFreedomOf(point: number, whole: number, pointDegreesOfFreedom: number): number {
  if (!Number.isFinite(pointDegreesOfFreedom)) return Number.POSITIVE_INFINITY;
  const rest = Math.sqrt(Math.max(0, whole * whole - point * point));
  return effectiveDegreesOfFreedom([
    { u: point, degreesOfFreedom: pointDegreesOfFreedom },
    { u: rest, degreesOfFreedom: Number.POSITIVE_INFINITY },
  ]);
}

/**
 * A value with its uncertainty: root sum of squares of the components, expanded to 95 % (GUM, JCGM 100:2008, 5, 6 and
 * G.4). Assumed figures have no limited degrees of freedom, so with them the factor is the normal's 1.96.
 * @param pointDegreesOfFreedom of the point component, as from `pointFigure`; infinite where it has none or is assumed
 */
export function quantity(
  value: number,
  components: Components,
  pointDegreesOfFreedom = Number.POSITIVE_INFINITY,
): Quantity {
  const { point, registration, scanner } = components;
  const standardUncertainty = Math.sqrt(point * point + registration * registration + scanner * scanner);
  const coverageFactor = coverageFactor95(degreesOfFreedomOf(point, standardUncertainty, pointDegreesOfFreedom));
  return {
    value,
    standardUncertainty,
    expandedUncertainty: coverageFactor * standardUncertainty,
    coverageFactor,
    components: { point, registration, scanner },
  };
}

/** The one rule for 'within measurement error': |change| ≤ U of that change. */
export const withinError = (change: Quantity): boolean => Math.abs(change.value) <= change.expandedUncertainty;
