import { describe, expect, test } from "vitest";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import type { ToothAway } from "#core/case/tooth-standing";
import { DEGREES } from "#core/geometry/real";
import { apply, fromRotationVector } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import type { SpanReading } from "#core/readings/arch-document";
import { fitArchCurve } from "#core/readings/arch-form";
import { readArch } from "#core/readings/arch-readings";
import type { Withheld } from "#core/readings/quantity";
import { inventedArch, mirrored, moving, type Spot, scanOf } from "./invented-full-arch";

const POSES = [
  fromRotationVector([0.4, -0.3, 1.1], [30, -12, 50]),
  fromRotationVector([-0.6, 1.2, -0.8], [-70, 22, 5]),
] as const;

const read = (before: readonly Spot[], after: readonly Spot[], poses: readonly (typeof POSES)[number][] = []) =>
  readArch(
    scanOf("before", before, DEFAULT_SETTINGS, poses[0]),
    scanOf("after", after, DEFAULT_SETTINGS, poses[1]),
    new Set(),
    DEFAULT_SETTINGS,
  );
type Counted = ReturnType<typeof read>;

/** Every reading by its name. */
function allOf({ arch }: Counted): SpanReading[] {
  return [
    ...arch.arch,
    ...arch.midline,
    ...arch.pairs,
    ...arch.palate,
    ...arch.parts.flatMap(({ transverse, right, left }) => [transverse, right, left]),
    ...arch.teeth.flatMap(({ inclination, rotation, crownHeight }) => [inclination, rotation, crownHeight]),
  ].filter((reading) => reading !== null);
}

function reading(counted: Counted, name: string): { before: number; after: number; change: number; u: number } {
  const found = allOf(counted).find((one) => one.name === name);
  if (found === undefined) throw new Error(`no ${name}`);
  const { before, after, change } = found;
  if (before.state !== "given" || after.state !== "given" || change.state !== "given")
    throw new Error(`${name} withheld`);
  return {
    before: before.reading.value,
    after: after.reading.value,
    change: change.reading.value,
    u: change.reading.standardUncertainty,
  };
}

const side = (tooth: number): 1 | -1 => (tooth >= 20 ? 1 : -1);
/** Each side 2.5 mm outwards. */
const widened = moving(inventedArch(), ({ tooth, at: [x, y, z] }) => [
  tooth === null ? x : x + 2.5 * side(tooth),
  y,
  z,
]);

describe("depth, perimeter and midline of an invented arch", () => {
  const counted = read(inventedArch(), widened, POSES);

  test("depth: perpendicular from the line of the mesial contacts of the first molars, and from that of their cusps", () => {
    // Mesial contact of 11: y = −7 − 4.2 · 0.28; of the molars y = 18; their mesiobuccal cusps y = 20.5.
    const contacts = reading(counted, "arch depth, mesial of 6–6 to 11");
    expect(contacts.before).toBeCloseTo(18 + 7 + 4.2 * 0.28, 9);
    expect(contacts.change).toBeCloseTo(0, 9);
    expect(reading(counted, "arch depth, cusps of 6–6 to incisors").before).toBeCloseTo(20.5 + 7 + 4.2 * 0.28, 9);
  });

  test("perimeter: four straight segments over the mesial of the first premolars and the middle of the incisors", () => {
    const front: Vector3 = [0, -7 - 4.2 * 0.28, 2];
    const premolar: Vector3 = [20 - 3.5 * 0.28, 7.5 - 3.5 * 0.96, 2];
    const molar: Vector3 = [24.5, 18, 2];
    const of = (out: number) =>
      2 *
      (Math.hypot(premolar[0] + out, premolar[1] - front[1]) +
        Math.hypot(molar[0] - premolar[0], molar[1] - premolar[1]));
    const { before, after, change } = reading(counted, "arch perimeter, four segments");
    expect(before).toBeCloseTo(of(0), 9);
    expect(after).toBeCloseTo(of(2.5), 9);
    expect(change).toBeCloseTo(of(2.5) - of(0), 9);
  });

  test("where the premolars are not marked the perimeter breaks at the distal of the canines, and says so", () => {
    const without = inventedArch().filter(({ tooth, place }) => place !== "mesial-contact" || tooth! % 10 !== 4);
    const perimeter = read(without, without).arch.arch.find(({ name }) => name.includes("perimeter"))!;
    expect(perimeter.by).toContain("distal contact point of 13");
  });

  test("the gap between the central incisors opens by the whole shift, their middle stays on the raphe", () => {
    const gap = reading(counted, "gap between 11 and 21");
    const contact = 4.2 - 4.2 * 0.96;
    expect(gap.before).toBeCloseTo(2 * contact, 9);
    expect(gap.after).toBeCloseTo(2 * contact + 5, 9);
  });

  test("a midline that moved to the left of the raphe is positive, and given only where the raphe tells it well enough", () => {
    const shifted = moving(inventedArch(), ({ tooth, place, at: [x, y, z] }) => [
      (tooth === 11 || tooth === 21) && place === "mesial-contact" ? x + 1.2 : x,
      y,
      z,
    ]);
    const before = scanOf("before", inventedArch(), DEFAULT_SETTINGS);
    const after = scanOf("after", shifted, DEFAULT_SETTINGS);
    const uncertain = readArch(before, after, new Set(), DEFAULT_SETTINGS).arch.midline[1]!;
    expect(uncertain.change).toMatchObject({ state: "withheld", reason: { code: "raphe-too-uncertain" } });
    // Raphe points along the whole palate, up to the incisors.
    const long: Spot[] = [-8, -4, 0, 4, 8].map((y) => ({ tooth: null, place: "median-raphe", at: [0, y, 10] }));
    const known = (spots: readonly Spot[]) => [...spots, ...long];
    const certain = read(known(inventedArch()), known(shifted));
    expect(reading(certain, "dental midline from the raphe").change).toBeCloseTo(1.2, 9);
  });
});

describe("transverse widths and their right and left part", () => {
  // The right side moved by 3.5 mm, the left by 1.5 mm, the raphe stayed.
  const uneven = moving(inventedArch(), ({ tooth, at: [x, y, z] }) => [
    tooth === null ? x : x + (side(tooth) > 0 ? 1.5 : -3.5),
    y,
    z,
  ]);
  const counted = read(inventedArch(), uneven, POSES);

  test("the parts tell the uneven sides, and add up to the transverse width at each time", () => {
    expect(reading(counted, "right part of 5–5, buccal cusp tips").change).toBeCloseTo(3.5, 9);
    expect(reading(counted, "left part of 5–5, buccal cusp tips").change).toBeCloseTo(1.5, 9);
    let compared = 0;
    for (const { transverse, right, left } of counted.arch.parts) {
      for (const time of ["before", "after", "change"] as const) {
        const parts = [transverse, right!, left!].map((one) => one[time]);
        if (parts.some(({ state }) => state === "withheld")) continue;
        const [whole, a, b] = parts.map((one) => (one.state === "given" ? one.reading.value : Number.NaN));
        expect(a! + b!).toBeCloseTo(whole!, 12);
        compared++;
      }
    }
    expect(compared).toBeGreaterThan(25);
  });

  test("the transverse width leaves out what the straight one has along and up", () => {
    const skewed = moving(inventedArch(), ({ tooth, place, at: [x, y, z] }) =>
      tooth === 25 && place === "buccal-cusp-tip" ? [x, y + 3, z + 1] : [x, y, z],
    );
    expect(reading(read(inventedArch(), skewed), "transverse width 5–5, buccal cusp tips").change).toBeCloseTo(0, 9);
  });

  test("a raphe from two near points makes the molars' parts too uncertain, while the transverse width stays", () => {
    const short = inventedArch().filter(({ place, at }) => place !== "median-raphe" || at[1] === 6 || at[1] === 18);
    const { arch } = read(short, short);
    const molars = arch.parts.find(({ pair, level }) => pair === "6-6" && level === "cusp-tip")!;
    expect(molars.right!.change).toMatchObject({ state: "withheld", reason: { code: "raphe-too-uncertain" } });
    expect(molars.transverse.change.state).toBe("given");
  });

  test("without raphe points there are no parts and nothing is asked for them", () => {
    const teeth = inventedArch().filter(({ tooth }) => tooth !== null);
    const { arch, asked, made } = read(teeth, teeth);
    expect(arch.parts.every(({ right, left }) => right === null && left === null)).toBe(true);
    expect(made).toBe(asked);
  });
});

describe("inclination, rotation and height of crowns by their points", () => {
  /** Each of the given teeth turned about its gingival point, degrees about the axes of the arch frame. */
  const turned = (teeth: readonly number[], about: (tooth: number) => Vector3): Spot[] => {
    const all = inventedArch();
    return moving(all, ({ tooth, at }) => {
      if (tooth === null || !teeth.includes(tooth)) return at;
      const pivot = all.find((one) => one.tooth === tooth && one.place === "palatal-gingival")!.at;
      const [x, y, z] = about(tooth);
      return apply(fromRotationVector([x / DEGREES, y / DEGREES, z / DEGREES], [0, 0, 0], pivot), at);
    });
  };

  // Second molars carry no plane, so that their angles to it are exact.
  test("second molars tipped by 8 degrees to the cheek: +8 each, +16 together, on both sides", () => {
    const counted = read(
      inventedArch(),
      turned([17, 27], (tooth) => [0, -8 * side(tooth), 0]),
      POSES,
    );
    expect(reading(counted, "inclination of 17").change).toBeCloseTo(8, 6);
    expect(reading(counted, "inclination of 27").change).toBeCloseTo(8, 6);
    expect(reading(counted, "angle between the cusp lines, 7–7").change).toBeCloseTo(16, 6);
    expect(reading(counted, "rotation of 27").change).toBeCloseTo(0, 1);
  });

  test("crowns turned with their mesial side to the cheek turn positively on both sides", () => {
    const counted = read(
      inventedArch(),
      turned([17, 27, 12, 22], (tooth) => [0, 0, 6 * side(tooth)]),
      POSES,
    );
    for (const tooth of [17, 27, 12, 22]) expect(reading(counted, `rotation of ${tooth}`).change).toBeCloseTo(6, 6);
  });

  test("central incisors tipped forwards by 5 degrees: +5 to the lip", () => {
    const counted = read(
      inventedArch(),
      turned([11, 21], () => [-5, 0, 0]),
      POSES,
    );
    expect(reading(counted, "inclination of 11").change).toBeCloseTo(5, 6);
    expect(reading(counted, "clinical crown height of 11").change).toBeCloseTo(0, 9);
  });

  test("a margin 0.7 mm further from the cusp is a taller crown", () => {
    const receded = moving(inventedArch(), ({ tooth, place, at: [x, y, z] }) => [
      x,
      y,
      tooth === 14 && place === "buccal-gingival-zenith" ? z + 0.7 : z,
    ]);
    const { before, after } = reading(read(inventedArch(), receded), "clinical crown height of 14");
    expect(before).toBeCloseTo(Math.hypot(2, 8), 9);
    expect(after).toBeCloseTo(Math.hypot(2, 8.7), 9);
  });
});

describe("what holds for all of them", () => {
  const before = inventedArch();
  const after = moving(widened, ({ tooth, at: [x, y, z] }) => [x, y - (tooth === null ? 0 : 0.1 * y), z]);
  const counted = read(before, after);

  test("rigid motion of either scan changes no reading by more than 1e-9", () => {
    const moved = allOf(read(before, after, POSES));
    const still = allOf(counted);
    expect(moved.map(({ name }) => name)).toEqual(still.map(({ name }) => name));
    let compared = 0;
    moved.forEach((one, i) => {
      for (const time of ["before", "after", "change"] as const) {
        const [a, b] = [one[time], still[i]![time]];
        expect(a.state).toBe(b.state);
        if (a.state !== "given" || b.state !== "given") continue;
        // The root mean square distance from an exactly fitted curve is the only one whose slope is not finite.
        expect(Math.abs(a.reading.value - b.reading.value), one.name).toBeLessThan(1e-9);
        expect(Math.abs(a.reading.standardUncertainty - b.reading.standardUncertainty), one.name).toBeLessThan(1e-5);
        compared++;
      }
    });
    expect(compared).toBeGreaterThan(150);
  });

  test("a mirror image exchanges the sides and changes nothing else", () => {
    const uneven = moving(after, ({ tooth, at: [x, y, z] }) => [tooth === 16 || tooth === 13 ? x - 1 : x, y, z]);
    const plain = read(before, uneven);
    const other = read(mirrored(before), mirrored(uneven));
    const swapped = (name: string) =>
      name
        .replace(/\b([12])([1-7])\b/g, (_, quadrant: string, n: string) => (quadrant === "1" ? "2" : "1") + n)
        .replace(/right|left/, (word) => (word === "right" ? "left" : "right"));
    let compared = 0;
    for (const { name, change } of allOf(plain)) {
      if (change.state === "withheld" || name.includes("gap") || name.includes("depth, mesial")) continue;
      expect(reading(other, swapped(name)).change, name).toBeCloseTo(change.reading.value, 8);
      compared++;
    }
    expect(compared).toBeGreaterThan(50);
  });

  test("asked counts what stands on at least one scan; a point on one scan only is asked for by name", () => {
    const lacking = after.filter(({ tooth, place }) => !(tooth === 16 && place === "mesial-contact"));
    const some = read(before, lacking);
    expect(some.asked).toBe(counted.asked);
    expect(some.made).toBe(counted.made - 2);
    const depth = some.arch.arch[0]!;
    expect(depth.change).toMatchObject({
      state: "withheld",
      reason: {
        code: "needs-landmark",
        text: "needs the mesial contact point of 16 on the after scan",
        needs: [{ timepoint: "after", tooth: 16, place: "mesial-contact" }],
      },
    });
  });

  test("what nobody placed points for is not asked, and named with the points it would take", () => {
    const cuspsOnly = before.filter(({ place }) => place.endsWith("cusp-tip"));
    const { arch, asked, made } = read(cuspsOnly, cuspsOnly);
    expect(made).toBe(asked);
    expect(arch.notAsked).toContainEqual({
      reading: "gap between 11 and 21",
      points: "mesial contact point of 11 and 21",
    });
  });
});

describe("the curve of arch form", () => {
  // Closed form: points on v = D·(1 − t²)^e between ends W apart, in any position in the plane.
  test.each([
    [50, 30, 0.8],
    [46, 34, 0.62],
    [55, 28, 1.1],
  ])("W = %d, D = %d and e = %d come back from points on the curve", (width, depth, exponent) => {
    const points = [-1, -0.86, -0.7, -0.55, -0.3, -0.1, 0.1, 0.3, 0.5, 0.72, 0.9, 1].map((t): Vector3 => {
      const [u, v] = [(t * width) / 2, depth * (1 - t * t) ** exponent];
      return [3 + u * Math.cos(0.2) + v * Math.sin(0.2), 9 + u * Math.sin(0.2) - v * Math.cos(0.2), 0.3 * t];
    });
    const curve = fitArchCurve(points);
    expect(curve.width).toBeCloseTo(width, 9);
    expect(curve.depth).toBeCloseTo(depth, 8);
    expect(curve.exponent).toBeCloseTo(exponent, 9);
    expect(curve.rms).toBeLessThan(1e-8);
  });
});

describe("teeth that are not there", () => {
  const scan = (timepoint: string, away: ToothAway[] = [], erupting: number[] = []) => {
    const plain = scanOf(timepoint, inventedArch(), DEFAULT_SETTINGS);
    return {
      ...plain,
      points: { ...plain.points, away },
      erupting: (tooth: number): Withheld | null =>
        erupting.includes(tooth) ? { code: "tooth-erupting", text: "erupting", needs: [] } : null,
    };
  };
  const both = (away: ToothAway[], erupting: number[]) =>
    readArch(scan("before"), scan("after", away, erupting), new Set(), DEFAULT_SETTINGS);

  test("what takes them is withheld with the reason and does not count as a failure", () => {
    const counted = both([{ tooth: 14, why: "missing", text: "tooth 14 is not there" }], []);
    const perimeter = counted.arch.arch.find(({ name }) => name.includes("perimeter"))!;
    expect(perimeter.change).toMatchObject({
      state: "withheld",
      reason: { code: "tooth-not-there", text: "tooth 14 is not there" },
    });
    expect(counted.made).toBe(counted.asked);
  });

  test("the crown height of an erupting tooth is withheld, its inclination is not", () => {
    const { arch } = both([], [13]);
    const canine = arch.teeth.find(({ tooth }) => tooth === 13)!;
    expect(canine.crownHeight!.change).toMatchObject({ state: "withheld", reason: { code: "tooth-erupting" } });
    expect(canine.inclination!.change.state).toBe("given");
  });
});
