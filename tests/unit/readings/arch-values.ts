import { DEFAULT_SETTINGS } from "#core/case/case-document";
import { IDENTITY } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import type { ReadingDefinition } from "#core/readings/reading-definition";
import { type PointSet, pointOf } from "#core/readings/width";
import { inventedArch, scanOf } from "./invented-full-arch";

/** The value of a reading of the arch from points in their scan's arch frame, without its uncertainty. */
export function archValue(definition: ReadingDefinition): (set: PointSet) => number {
  const nominal = scanOf("nominal", inventedArch(), DEFAULT_SETTINGS);
  const pointsOf = (set: PointSet): Vector3[] =>
    definition.spots.map(({ tooth, place }) => pointOf(set, tooth, place)!.inFrame!);
  const measure = definition.on(nominal, pointsOf(nominal.points));
  if ("code" in measure) throw new Error(measure.text);
  return (set) => measure.value(pointsOf(set), IDENTITY);
}
