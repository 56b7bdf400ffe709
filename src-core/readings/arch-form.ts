import { ln, pow } from "../geometry/real";
import { dot, middle, subtract, unit, type Vector3 } from "../geometry/vector";
import { distanceInPlane } from "./arch-depth";
import type { ArchScan } from "./arch-scan";
import { fromPoints, type ReadingDefinition, type Spot, spot } from "./reading-definition";
import { pointOf } from "./width";

/** The points of the arch form from right to left: buccal cusps and incisal edges, ended by the first molars. */
const FORM: readonly Spot[] = [
  spot(16, "mesiobuccal-cusp-tip"),
  spot(15, "buccal-cusp-tip"),
  spot(14, "buccal-cusp-tip"),
  spot(13, "cusp-tip"),
  spot(12, "incisal-edge-middle"),
  spot(11, "incisal-edge-middle"),
  spot(21, "incisal-edge-middle"),
  spot(22, "incisal-edge-middle"),
  spot(23, "cusp-tip"),
  spot(24, "buccal-cusp-tip"),
  spot(25, "buccal-cusp-tip"),
  spot(26, "mesiobuccal-cusp-tip"),
];

/** The curve v = depth · (1 − (2u/width)²)^exponent through the ends, and what the points leave over. */
export interface ArchCurve {
  /** Between the outermost points, mm. */
  readonly width: number;
  /** In front of the line through them, mm. */
  readonly depth: number;
  /** Smaller: squarer; larger: more pointed. */
  readonly exponent: number;
  /** Root mean square distance of the points from the curve along the depth, mm. */
  readonly rms: number;
}

/**
 * Fits the beta-function curve of arch form in the occlusal plane: v = D·(1 − t²)^e, t = 2u/W, over the line through the
 * two outermost points; W is their distance, D and e by least squares (Gauss–Newton). The family is that of Braun 1998
 * (Angle Orthod 68:29-36, from memory: e = 0.8 for its mean arch, W at the second molars).
 * @param points arch frame, mm, from right to left; five at least
 */
export function fitArchCurve(points: readonly Vector3[]): ArchCurve {
  const flat = points.map(([x, y]): Vector3 => [x, y, 0]);
  const [right, left] = [flat[0]!, flat.at(-1)!];
  const across = subtract(left, right);
  const width = Math.sqrt(dot(across, across));
  const u = unit(across);
  // Forwards in the plane: to the front where u runs from right to left.
  const v: Vector3 = [u[1], -u[0], 0];
  const centre = middle(right, left);
  const places = flat.slice(1, -1).map((p) => {
    const t = (2 * dot(subtract(p, centre), u)) / width;
    return { base: Math.max(1e-6, 1 - t * t), height: dot(subtract(p, centre), v) };
  });
  let depth = Math.max(...places.map(({ height }) => height));
  let exponent = 0.8;
  for (let round = 0; round < 50; round++) {
    let [a, b, c, p, q] = [0, 0, 0, 0, 0];
    for (const { base, height } of places) {
      const shape = pow(base, exponent);
      const byExponent = depth * shape * ln(base);
      const off = height - depth * shape;
      a += shape * shape;
      b += shape * byExponent;
      c += byExponent * byExponent;
      p += shape * off;
      q += byExponent * off;
    }
    const determinant = a * c - b * b;
    const [dDepth, dExponent] = [(p * c - b * q) / determinant, (a * q - b * p) / determinant];
    depth += dDepth;
    // A step that would leave the family is cut short.
    exponent += Math.max(-0.3, Math.min(0.3, dExponent));
    if (Math.abs(dDepth) < 1e-12 && Math.abs(dExponent) < 1e-13) break;
  }
  const squares = places.reduce((sum, { base, height }) => {
    const off = height - depth * pow(base, exponent);
    return sum + off * off;
  }, 0);
  return { width, depth, exponent, rms: Math.sqrt(squares / places.length) };
}

/** Points between the ends that a curve needs. */
const FEWEST_BETWEEN = 5;

/** The spots that stand on every scan, so that the curve runs through the same ones at each time; all, where too few do. */
function commonSpots(scans: readonly ArchScan[]): readonly Spot[] {
  const common = FORM.filter(({ tooth, place }) =>
    scans.every(({ points }) => pointOf(points, tooth, place) !== undefined),
  );
  const ended = common[0] === FORM[0] && common.at(-1) === FORM.at(-1);
  return ended && common.length >= FEWEST_BETWEEN + 2 ? common : FORM;
}

/** How the arch is shaped: its depth in percent of its width, and the curve fitted through cusps and edges. */
export function archForms(scans: readonly ArchScan[]): ReadingDefinition[] {
  const spots = commonSpots(scans);
  const teeth = spots.map(({ tooth }) => tooth);
  const curve = (
    definition: Pick<ReadingDefinition, "name" | "by" | "unit">,
    value: (curve: ArchCurve) => number,
  ): ReadingDefinition =>
    fromPoints({ ...definition, teeth, spots, basis: "occlusal-plane" }, (points) => value(fitArchCurve(points)));
  return [
    DEPTH_OF_WIDTH,
    curve(
      {
        name: "exponent of the arch curve",
        by: "curve depth · (1 − t²)^exponent fitted through incisal edges and buccal cusps, 6–6; smaller is squarer, larger more pointed (family of Braun 1998, from memory)",
        unit: "1",
      },
      ({ exponent }) => exponent,
    ),
    curve(
      {
        name: "points from the arch curve",
        by: "root mean square distance of incisal edges and buccal cusps from that curve",
        unit: "mm",
      },
      ({ rms }) => rms,
    ),
  ];
}

const DEPTH_OF_WIDTH = fromPoints(
  {
    name: "depth in percent of width",
    by: "incisal edges of 11 and 21 in front of the line through the mesiobuccal cusp tips of 16 and 26, over its length, in the occlusal plane",
    unit: "percent",
    teeth: [16, 26, 11, 21],
    spots: [FORM[0]!, FORM[11]!, FORM[5]!, FORM[6]!],
    basis: "occlusal-plane",
  },
  ([right, left, a, b]) => {
    const across = subtract(left!, right!);
    const width = Math.sqrt(across[0] * across[0] + across[1] * across[1]);
    return (100 * distanceInPlane(middle(a!, b!), right!, left!)) / width;
  },
);
