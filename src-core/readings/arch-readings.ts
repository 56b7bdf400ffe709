import { ARCH_DEPTHS } from "./arch-depth";
import type { ArchReadings, SpanReading, ToothReading } from "./arch-document";
import { archForms } from "./arch-form";
import type { ArchScan } from "./arch-scan";
import { crownHeightOf } from "./crown-height";
import { inclinationOf, pairInclination, rotationOf } from "./inclination";
import { MIDLINES } from "./midline";
import { PALATE_HEIGHTS } from "./palate-height";
import { CANINE_SECTIONS, MOLAR_SECTION } from "./palate-section";
import { palateSurfaces } from "./palate-surface";
import { PERIMETERS } from "./perimeter";
import { predictedPerimeters } from "./predicted-perimeter";
import type { ReadingDefinition } from "./reading-definition";
import { isAsked, lackingWords, spanReading } from "./span-reading";
import type { Assumptions } from "./uncertainty";
import { widthParts } from "./width-parts";

/** Upper teeth from the back of the right side to the back of the left, permanent and deciduous. */
const TEETH: readonly number[] = [
  ...[17, 16, 15, 55, 14, 54, 13, 53, 12, 52, 11, 51],
  ...[21, 61, 22, 62, 23, 63, 24, 64, 25, 65, 26, 27],
];

const PAIRS: readonly ReadingDefinition[] = [
  pairInclination("6–6", 16, 26),
  pairInclination("7–7", 17, 27),
  pairInclination("V–V", 55, 65),
];

type NotAsked = ArchReadings["notAsked"][number];

/** Withheld for what no landmark mends: the raphe is too uncertain for it, or a tooth is not there or erupting. */
const isNoFailure = ({ change }: SpanReading): boolean =>
  change.state === "withheld" &&
  ["raphe-too-uncertain", "tooth-not-there", "tooth-changed", "tooth-erupting"].includes(change.reason.code);

/** The readings, how many of them were asked for, and how many were made. */
export interface CountedReadings {
  readonly arch: ArchReadings;
  readonly asked: number;
  readonly made: number;
}

/**
 * Everything that is read of arch and palate on each scan by itself.
 * A reading is asked for where its landmarks stand on at least one of the scans. What is read about the
 * median plane and withheld because the raphe is too uncertain is not counted: like a ratio it is given where the errors
 * allow it; nor what takes a tooth that is not there; nor the parts of the widths, which are widths already counted; nor what is
 * predicted of the perimeter, which is no reading.
 * @param registered teeth whose crowns were registered
 */
export function readArch(
  first: ArchScan,
  second: ArchScan,
  registered: ReadonlySet<number>,
  assumptions: Assumptions,
): CountedReadings {
  const scans = [first, second];
  const read = (definition: ReadingDefinition): SpanReading | null =>
    isAsked(definition, scans) ? spanReading(definition, first, second, assumptions) : null;
  const notAsked: NotAsked[] = [];
  const all = (definitions: readonly ReadingDefinition[]): SpanReading[] =>
    definitions.flatMap((definition) => {
      const reading = read(definition);
      const points = reading === null ? lackingWords(definition, scans) : "";
      if (points !== "") notAsked.push({ reading: definition.name, points });
      return reading ?? [];
    });
  const perimeter = PERIMETERS.find((definition) => isAsked(definition, scans)) ?? PERIMETERS[0]!;
  const arch = all([...ARCH_DEPTHS, perimeter, ...archForms(scans)]);
  const midline = all(MIDLINES);
  const teeth = TEETH.flatMap((tooth): ToothReading[] => {
    const [inclination, rotation, crownHeight] = [inclinationOf, rotationOf, crownHeightOf].map((of) =>
      read(of(tooth)),
    ) as [SpanReading | null, SpanReading | null, SpanReading | null];
    return inclination === null && rotation === null && crownHeight === null
      ? []
      : [{ tooth, inclination, rotation, crownHeight, crownRegistered: registered.has(tooth) }];
  });
  const pairs = PAIRS.flatMap((definition) => read(definition) ?? []);
  const canines = CANINE_SECTIONS.find((definition) => isAsked(definition, scans)) ?? CANINE_SECTIONS[0]!;
  const palate = all([...PALATE_HEIGHTS, canines, MOLAR_SECTION, ...palateSurfaces(scans)]);
  const counted = [
    ...arch,
    ...palate,
    ...midline,
    ...pairs,
    ...teeth.flatMap(({ inclination, rotation, crownHeight }) => [inclination, rotation, crownHeight]),
  ].filter((reading) => reading !== null && !isNoFailure(reading));
  return {
    arch: {
      arch,
      predictedPerimeters: predictedPerimeters(first, second, isAsked(perimeter, scans), assumptions),
      midline,
      parts: widthParts(first, second, assumptions),
      teeth,
      pairs,
      palate,
      notAsked,
    },
    asked: counted.length,
    made: counted.filter((reading) => reading?.change.state === "given").length,
  };
}
