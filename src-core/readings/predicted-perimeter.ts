import { distance, type Vector3 } from "../geometry/vector";
import { distanceInPlane } from "./arch-depth";
import type { PerimeterPrediction } from "./arch-document";
import type { ArchScan } from "./arch-scan";
import { type Basis, fromPoints, type ReadingDefinition, type Spot, spot } from "./reading-definition";
import { isAsked, spanReading } from "./span-reading";
import type { Assumptions } from "./uncertainty";

const CANINES: readonly Spot[] = [spot(13, "cusp-tip"), spot(23, "cusp-tip")];
const MOLARS: readonly Spot[] = [spot(16, "mesiobuccal-cusp-tip"), spot(26, "mesiobuccal-cusp-tip")];
const LENGTH: readonly Spot[] = [spot(16, "mesial-contact"), spot(26, "mesial-contact"), spot(11, "mesial-contact")];

/** A published rule for the gain of perimeter; linear, so that the change of its value is what it predicts. */
interface Rule {
  /** Whose it is: 'Ricketts 1982, canines'. */
  readonly method: string;
  readonly name: string;
  readonly by: string;
  readonly source: string;
  readonly spots: readonly Spot[];
  readonly basis: Basis;
  /** mm, from the spots in the arch frame; only its change means anything. */
  readonly value: (points: readonly Vector3[]) => number;
}

/** The coefficient of a width alone. */
const ofWidth =
  (factor: number): Rule["value"] =>
  ([right, left]) =>
    factor * distance(right!, left!);

/**
 * Rules whose coefficients were seen in a source and that speak of upper arches. Each stands by itself; which points of
 * the teeth they used was not seen, so they get the widths and the depth of this sheet.
 */
const RULES: readonly Rule[] = [
  {
    method: "Braz Oral Res 2006",
    name: "0.54 × change 3–3 + 0.87 × change of depth",
    by: "cusp tips of 13 and 23; depth from the line of the mesial contact points of 16 and 26 to that of 11",
    source:
      "Braz Oral Res, March 2006 (S1806-83242006000100014): casts of 18 patients before and after rapid expansion",
    spots: [...CANINES, ...LENGTH],
    basis: "occlusal-plane",
    value: ([right, left, molar, otherMolar, front]) =>
      0.54 * distance(right!, left!) + 0.87 * distanceInPlane(front!, molar!, otherMolar!),
  },
  {
    method: "Bull Natl Res Cent 2021",
    name: "1.988 × change 3–3",
    by: "cusp tips of 13 and 23",
    source:
      "Bull Natl Res Cent 2021 (s42269-021-00602-1): perimeter against canine width among 340 casts of children of 11 to 13 years in normal occlusion, not over an expansion",
    spots: CANINES,
    basis: "points",
    value: ofWidth(1.988),
  },
  {
    method: "Ricketts 1982, canines",
    name: "1.0 × change 3–3",
    by: "cusp tips of 13 and 23",
    source: "Ricketts 1982, seen second-hand: for widening of the canines",
    spots: CANINES,
    basis: "points",
    value: ofWidth(1),
  },
  {
    method: "Ricketts 1982, molars",
    name: "0.25 × change 6–6",
    by: "mesiobuccal cusp tips of 16 and 26",
    source: "Ricketts 1982, seen second-hand: for widening of the molars",
    spots: MOLARS,
    basis: "points",
    value: ofWidth(0.25),
  },
];

const definitionOf = ({ name, by, spots, basis, value }: Rule): ReadingDefinition => {
  const teeth = [...new Set(spots.map(({ tooth }) => tooth))];
  return fromPoints({ name, by, unit: "mm", teeth, spots, basis }, value);
};

/**
 * Gain of upper arch perimeter that published rules predict from the measured changes, each by itself, to stand beside
 * the measured one. Their uncertainty is that of the measured changes; the rules' own scatter is not published with them.
 * @returns every rule, those without their points withheld; empty where neither the perimeter nor any rule has its points
 */
export function predictedPerimeters(
  first: ArchScan,
  second: ArchScan,
  perimeterAsked: boolean,
  assumptions: Assumptions,
): PerimeterPrediction[] {
  const definitions = RULES.map(definitionOf);
  if (!perimeterAsked && !definitions.some((definition) => isAsked(definition, [first, second]))) return [];
  return definitions.map((definition, i) => ({
    method: RULES[i]!.method,
    rule: definition.name,
    by: definition.by,
    source: RULES[i]!.source,
    gain: spanReading(definition, first, second, assumptions).change,
  }));
}
