import type { CaseDocument } from "../case/case-document";
import { coverageFactor95 } from "../statistics/quantiles";
import type { Quantity } from "./readings-document";

/** The figures that uncertainty is computed from. */
export type Assumptions = Pick<CaseDocument["settings"], "delta" | "scanner" | "pointWidth">;

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

/** Components of a width on one scan, its points placed by hand. */
export function widthComponents(assumptions: Assumptions, share: number): Components {
  const across = scannerAcross(assumptions, share);
  const local = assumptions.scanner.local;
  return { point: assumptions.pointWidth, registration: 0, scanner: Math.sqrt(across * across + local * local) };
}

/** Components of a change between two scans whose points were placed by hand on both, independently. */
export function changeComponents(assumptions: Assumptions, share: number): Components {
  const one = widthComponents(assumptions, share);
  return { point: Math.SQRT2 * one.point, registration: 0, scanner: Math.SQRT2 * one.scanner };
}

/**
 * A value with its uncertainty: root sum of squares of the components, expanded to 95 % (GUM, JCGM 100:2008, 5 and 6).
 * The default components are assumed figures without limited degrees of freedom, so the factor is the normal's 1.96.
 */
export function quantity(value: number, components: Components): Quantity {
  const { point, registration, scanner } = components;
  const standardUncertainty = Math.sqrt(point * point + registration * registration + scanner * scanner);
  const coverageFactor = coverageFactor95(Number.POSITIVE_INFINITY);
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
