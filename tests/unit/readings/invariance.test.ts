import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Landmark } from "#core/arch/landmark";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import { apply, compose, fromRotationVector, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import { type CrownInput, crownMotion, halfReference, pairAngle, palatalCuspDrop } from "#core/readings/crowns";
import { type HalvesInput, type MovedHalf, readHalves } from "#core/readings/halves";
import { readSpan } from "#core/readings/span-readings";
import { readTipping } from "#core/readings/tipping";
import { inventedPoints } from "./invented-arch";
import { landmarksOf, placedScans } from "./placed-scans";

/** Readings from given points: the same in every pose, in every order, and in a mirror. */

const STEADY = { ...DEFAULT_SETTINGS, pointWidth: 0.1 };

const number = (size: number) => fc.double({ min: -size, max: size, noNaN: true });
const vector = (size: number) => fc.tuple(number(size), number(size), number(size));
const pose = fc
  .tuple(vector(3), vector(80))
  .map(([turn, shift]) => fromRotationVector(turn as Vector3, shift as Vector3));
/** How far each landmark of both scans lies off the invented arch, mm: no symmetry is left. */
const offsets = fc.array(vector(0.6), { minLength: 60, maxLength: 60 });

/** Landmarks of an arch that opened in front and tipped, each a little off. */
function scansOf(off: readonly (readonly number[])[]): [Landmark[], Landmark[]] {
  const scans = [
    landmarksOf(inventedPoints("before", () => 0)),
    landmarksOf(inventedPoints("after", (s, level) => (level === "cusp" ? 6 - 0.12 * s : 4 - 0.08 * s))),
  ];
  let k = 0;
  return scans.map((marks) =>
    marks.map((mark): Landmark => {
      const d = off[k++ % off.length]!;
      return { ...mark, at: [mark.at[0] + d[0]!, mark.at[1] + d[1]!, mark.at[2] + d[2]!] };
    }),
  ) as [Landmark[], Landmark[]];
}

function everything(scans: readonly [readonly Landmark[], readonly Landmark[]]) {
  const sets = placedScans(scans);
  const span = readSpan(...sets, STEADY, "expansion");
  return { span, tipping: readTipping(...sets, span.widths, new Set(), STEADY) };
}

/** Every number of a reading by its path, and everything else as it is. */
function flat(value: unknown, path = ""): Map<string, unknown> {
  if (value === null || typeof value !== "object") return new Map([[path, value]]);
  const found = new Map<string, unknown>();
  for (const [key, inner] of Object.entries(value)) {
    for (const [name, leaf] of flat(inner, `${path}/${key}`)) found.set(name, leaf);
  }
  return found;
}

function expectSame(a: unknown, b: unknown, tolerance: number): void {
  const [one, other] = [flat(a), flat(b)];
  expect([...other.keys()]).toEqual([...one.keys()]);
  for (const [path, value] of one) {
    const beside = other.get(path);
    if (typeof value === "number" && typeof beside === "number") {
      expect(Math.abs(value - beside), path).toBeLessThanOrEqual(tolerance);
    } else expect(beside, path).toBe(value);
  }
}

const moved = (marks: readonly Landmark[], by: RigidTransform): Landmark[] =>
  marks.map((mark) => ({ ...mark, at: [...apply(by, mark.at)] }));

/** Left in the place of right. */
const across = (tooth: number): number => tooth + ([1, 5].includes(Math.floor(tooth / 10)) ? 10 : -10);
const inMirror = (marks: readonly Landmark[]): Landmark[] =>
  marks.map((mark) => ({
    ...mark,
    ...(mark.tooth === undefined ? {} : { tooth: across(mark.tooth) }),
    at: [-mark.at[0], mark.at[1], mark.at[2]],
  }));

describe("widths, patterns and tipping from given points", () => {
  test("change by at most 1e-9 when each scan lies in any other pose", () => {
    fc.assert(
      fc.property(offsets, pose, pose, (off, first, second) => {
        const [before, after] = scansOf(off);
        const there = everything([before, after]);
        const here = everything([moved(before, first), moved(after, second)]);
        // A hinge far behind the arch is a quotient of small numbers; its own scale counts.
        expectSame(there, here, 1e-9 * largest(there));
      }),
      { seed: 61, numRuns: 60 },
    );
  });

  test("do not change in a mirror, but that left and right change places", () => {
    fc.assert(
      fc.property(offsets, (off) => {
        const [before, after] = scansOf(off);
        const there = everything([before, after]);
        const mirrored = everything([inMirror(before), inMirror(after)]);
        expectSame(there.span.patterns, mirrored.span.patterns, 1e-9 * largest(there));
        expectSame(there.span.widths, mirrored.span.widths, 1e-9);
        there.tipping.forEach((tipping, i) => {
          const other = mirrored.tipping[i]!;
          expectSame({ ...tipping, anglesFromPoints: [] }, { ...other, anglesFromPoints: [] }, 1e-9 * largest(there));
          for (const { tooth, angle } of tipping.anglesFromPoints) {
            const beside = other.anglesFromPoints.find((one) => one.tooth === across(tooth))!;
            expectSame(angle, beside.angle, 1e-9);
          }
        });
      }),
      { seed: 62, numRuns: 40 },
    );
  });

  test("do not change when the landmarks are given in another order", () => {
    fc.assert(
      fc.property(offsets, fc.integer(), (off, seed) => {
        const [before, after] = scansOf(off);
        const shuffled = (marks: Landmark[]) => [...marks].sort((a, b) => order(a, seed) - order(b, seed));
        expectSame(everything([before, after]), everything([shuffled(before), shuffled(after)]), 1e-9);
      }),
      { seed: 63, numRuns: 20 },
    );
  });
});

const order = (mark: Landmark, seed: number): number =>
  Math.imul((mark.tooth ?? 0) * 31 + mark.place.length + Math.round(mark.at[1]), seed | 1) % 1009;

/** The largest number among readings, at least 1: hinges and pivots may lie far away. */
function largest(readings: ReturnType<typeof everything>): number {
  let most = 1;
  for (const value of flat(readings).values()) if (typeof value === "number") most = Math.max(most, Math.abs(value));
  return most;
}

describe("halves and crowns from given motions", () => {
  /** A 6 × 6 covariance with correlations, from any numbers. */
  const covariance = fc.array(number(1), { minLength: 36, maxLength: 36 }).map((a) => {
    const c = new Float64Array(36);
    for (let i = 0; i < 6; i++)
      for (let j = 0; j < 6; j++) for (let k = 0; k < 6; k++) c[6 * i + j]! += 1e-6 * a[6 * i + k]! * a[6 * j + k]!;
    return c;
  });
  const motion = fc
    .tuple(vector(0.08), vector(3))
    .map(([turn, shift]) => fromRotationVector(turn as Vector3, shift as Vector3, [0, 30, 15]));

  const mirrorOf = ({ rotation: r, translation: t }: RigidTransform): RigidTransform => ({
    rotation: [r[0], -r[1], -r[2], -r[3], r[4], r[5], -r[6], r[7], r[8]],
    translation: [-t[0], t[1], t[2]],
  });
  /** Turns about y and z and shifts along x change their sign in a mirror. */
  const SIGNS = [1, -1, -1, -1, 1, 1];
  const mirroredFit = ({ transform, covariance: c, centre }: MovedHalf): MovedHalf => ({
    transform: mirrorOf(transform),
    covariance: Float64Array.from(c, (value, i) => value * SIGNS[Math.floor(i / 6)]! * SIGNS[i % 6]!),
    centre: [-centre[0], centre[1], centre[2]],
  });
  /** The same fit seen from files in other poses. */
  function posedFit(
    { transform, covariance: c, centre }: MovedHalf,
    before: RigidTransform,
    after: RigidTransform,
  ): MovedHalf {
    const r = after.rotation;
    const turn = (i: number, j: number) => (Math.floor(i / 3) === Math.floor(j / 3) ? r[3 * (i % 3) + (j % 3)]! : 0);
    const turned = new Float64Array(36);
    for (let i = 0; i < 6; i++)
      for (let j = 0; j < 6; j++)
        for (let k = 0; k < 6; k++)
          for (let l = 0; l < 6; l++) turned[6 * i + j]! += turn(i, k) * c[6 * k + l]! * turn(j, l);
    return {
      transform: compose(after, compose(transform, invert(before))),
      covariance: turned,
      centre: apply(after, centre),
    };
  }
  const halves = (right: MovedHalf, left: MovedHalf, toFrame: RigidTransform): HalvesInput => ({
    of: "palate",
    right,
    left,
    toFrame,
    front: { y: 8, height: 10, words: "the canines" },
    back: { y: 28, height: 16, words: "the first molars" },
    canines: 8,
    cusps: { canines: 8, molars: 28 },
    frameTurn: [0.01, 0.01, 0.02],
    stationError: 0.2,
  });
  const SAME = fromRotationVector([0, 0, 0]);
  const fitted = (transform: RigidTransform, c: Float64Array, centre: Vector3): MovedHalf => ({
    transform,
    covariance: c,
    centre,
  });

  test("halves: the same in every pose; in a mirror openings, opening angle and roll stay, pitch and shifts change sign", () => {
    fc.assert(
      fc.property(motion, motion, covariance, covariance, pose, pose, (r, l, a, b, before, after) => {
        const [right, left] = [fitted(r, a, [-9, 18, 15]), fitted(l, b, [9, 18, 15])];
        const there = readHalves(halves(right, left, SAME), DEFAULT_SETTINGS);
        const posed = readHalves(
          halves(posedFit(right, before, after), posedFit(left, before, after), invert(before)),
          DEFAULT_SETTINGS,
        );
        const mirrored = readHalves(halves(mirroredFit(left), mirroredFit(right), SAME), DEFAULT_SETTINGS);
        expect(posed.verdict).toBe(there.verdict);
        expect(mirrored.verdict).toBe(there.verdict);
        for (const [key, sign] of [
          ["atCanines", 1],
          ["atMolars", 1],
          ["openingAngle", 1],
          ["roll", 1],
          ["turn", 1],
          ["pitch", -1],
          ["forwardShift", -1],
          ["occlusalShift", -1],
        ] as const) {
          expect(Math.abs(posed[key].value - there[key].value), key).toBeLessThanOrEqual(1e-9);
          expect(Math.abs(mirrored[key].value - sign * there[key].value), key).toBeLessThanOrEqual(1e-9);
          // Uncertainties come from derivatives by differences.
          expect(posed[key].standardUncertainty).toBeCloseTo(there[key].standardUncertainty, 7);
          expect(mirrored[key].standardUncertainty).toBeCloseTo(there[key].standardUncertainty, 7);
        }
        for (const key of ["value", "low", "high"] as const) {
          expect(posed.difference[key]).toBeCloseTo(there.difference[key], 7);
          expect(mirrored.difference[key]).toBeCloseTo(there.difference[key], 7);
        }
      }),
      { seed: 64, numRuns: 40 },
    );
  });

  test("crowns: the same in every pose and in a mirror, where the right one is the left one's", () => {
    const axes: CrownInput["axes"] = [
      [0.28, -0.96, 0],
      [0.96, 0.28, 0],
      [0, 0, -1],
    ];
    const flipped = (v: Vector3): Vector3 => [-v[0], v[1], v[2]];
    const input = (crown: MovedHalf, middle: Vector3, toFrame: RigidTransform, of: CrownInput["axes"]): CrownInput => ({
      crown,
      axes: of,
      middle,
      toFrame,
      axesTurn: [0.01, 0.01, 0.05],
      share: 0.9,
      archLength: 21,
    });
    fc.assert(
      fc.property(motion, motion, covariance, covariance, pose, pose, (c, h, a, b, before, after) => {
        const [crown, half] = [fitted(c, a, [25, 30, 2]), fitted(h, b, [9, 18, 15])];
        const [middle, palatal, buccal]: Vector3[] = [
          [25, 30, 2],
          [21, 31, 0],
          [29, 29, 0],
        ] as Vector3[] as [Vector3, Vector3, Vector3];
        const mirroredAxes = axes.map(flipped) as unknown as CrownInput["axes"];
        const read = (own: CrownInput, reference: MovedHalf, p: Vector3, q: Vector3) => ({
          ...crownMotion(own, halfReference(reference), DEFAULT_SETTINGS),
          ...(({ againstHalf, againstBuccalCusp }) => ({ againstHalf, againstBuccalCusp: againstBuccalCusp! }))(
            palatalCuspDrop(own, halfReference(reference), p, q, DEFAULT_SETTINGS),
          ),
        });
        const there = read(input(crown, middle!, SAME, axes), half, palatal!, buccal!);
        const at = (p: Vector3) => apply(before, p);
        const posed = read(
          input(posedFit(crown, before, after), at(middle!), invert(before), axes),
          posedFit(half, before, after),
          at(palatal!),
          at(buccal!),
        );
        const mirrored = read(
          input(mirroredFit(crown), flipped(middle!), SAME, mirroredAxes),
          mirroredFit(half),
          flipped(palatal!),
          flipped(buccal!),
        );
        for (const key of Object.keys(there) as (keyof typeof there)[]) {
          for (const other of [posed, mirrored]) {
            expect(Math.abs(other[key].value - there[key].value), key).toBeLessThanOrEqual(1e-9);
            expect(other[key].standardUncertainty).toBeCloseTo(there[key].standardUncertainty, 6);
          }
        }
        const otherSide = input(half, flipped(middle!), SAME, mirroredAxes);
        const angle = pairAngle(otherSide, input(crown, middle!, SAME, axes), DEFAULT_SETTINGS).value;
        const inTheMirror = pairAngle(
          input(mirroredFit(crown), flipped(middle!), SAME, mirroredAxes),
          input(mirroredFit(half), middle!, SAME, axes),
          DEFAULT_SETTINGS,
        ).value;
        expect(Math.abs(angle - inTheMirror)).toBeLessThanOrEqual(1e-9);
      }),
      { seed: 65, numRuns: 30 },
    );
  });
});
