import { z } from "zod";
import { given, Quantity } from "./quantity";

/**
 * Readings of the arch and of the palate, each by itself on each scan. Lengths mm, areas mm², volumes mm³, angles
 * degrees.
 */

/** One reading at both times. */
export const SpanReading = z.strictObject({
  /** 'arch depth' */
  name: z.string(),
  /** Between which points, by which rule. */
  by: z.string(),
  unit: z.enum(["mm", "mm2", "mm3", "degrees", "percent", "1"]),
  teeth: z.array(z.number().int()),
  before: given(Quantity),
  after: given(Quantity),
  change: given(Quantity),
  /** |change| ≤ U of the change; null where the change is withheld. */
  withinMeasurementError: z.boolean().nullable(),
});
export type SpanReading = z.infer<typeof SpanReading>;

/** A width's transverse part and what of it lies on each side of the median plane; right and left add up to it. */
export const WidthParts = z.strictObject({
  pair: z.string(),
  level: z.string(),
  at: z.string(),
  transverse: SpanReading,
  /** null where the raphe is not given; withheld where its U exceeds 1.0 mm. */
  right: SpanReading.nullable(),
  left: SpanReading.nullable(),
});
export type WidthParts = z.infer<typeof WidthParts>;

/** What the points of one tooth tell; null where they are not given. */
export const ToothReading = z.strictObject({
  tooth: z.number().int(),
  /** Positive change: crown to the cheek (incisors: to the lip). */
  inclination: SpanReading.nullable(),
  /** Positive change: the mesial side to the cheek (incisors: to the lip). */
  rotation: SpanReading.nullable(),
  crownHeight: SpanReading.nullable(),
  /** True where the crown was registered: its rotation, under `crowns`, is the better reading of the change. */
  crownRegistered: z.boolean(),
});
export type ToothReading = z.infer<typeof ToothReading>;

/** What a published rule predicts of the perimeter from measured changes: a comparison, not a measurement. */
export const PerimeterPrediction = z.strictObject({
  /** Whose rule: 'Ricketts 1982, canines'. */
  method: z.string(),
  /** '0.54 × change 3–3 + 0.87 × change of depth' */
  rule: z.string(),
  /** From which points here. */
  by: z.string(),
  source: z.string(),
  /** mm; its uncertainty is that of the measured changes, not the rule's. */
  gain: given(Quantity),
});
export type PerimeterPrediction = z.infer<typeof PerimeterPrediction>;

export const ArchReadings = z.strictObject({
  /** Depth, perimeter, form. */
  arch: z.array(SpanReading),
  /** Beside the measured change of perimeter over an expansion, each published rule by itself. */
  predictedPerimeters: z.array(PerimeterPrediction),
  midline: z.array(SpanReading),
  parts: z.array(WidthParts),
  teeth: z.array(ToothReading),
  /** Change of the angle between the cusp lines of a pair of molars, both sides together. */
  pairs: z.array(SpanReading),
  palate: z.array(SpanReading),
  /** Readings that were not asked for, and the points that would ask for them. */
  notAsked: z.array(z.strictObject({ reading: z.string(), points: z.string() })),
});
export type ArchReadings = z.infer<typeof ArchReadings>;
