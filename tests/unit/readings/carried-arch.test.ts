import { describe, expect, test } from "vitest";
import type { Carrier } from "#core/arch/carried-error";
import { carried } from "#core/arch/carried-points";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import { DEGREES } from "#core/geometry/real";
import { apply, fromRotationVector } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";
import type { SpanReading } from "#core/readings/arch-document";
import { readArch } from "#core/readings/arch-readings";
import type { ArchScan } from "#core/readings/arch-scan";
import { inventedArch, scanOf } from "./invented-full-arch";

const COVARIANCE = new Float64Array(36);
for (let i = 0; i < 6; i++) COVARIANCE[7 * i] = i < 3 ? (0.2 / DEGREES) ** 2 : 0.03 ** 2;

/** Every landmark of the invented arch carried by its crown, which moved outwards by 2 mm and tipped. */
function carriedScans(tipping: number): [ArchScan, ArchScan] {
  const before = scanOf("before", inventedArch(), DEFAULT_SETTINGS);
  const carriers = new Map<number | null, Carrier>();
  const carrierOf = (tooth: number | null): Carrier => {
    const known = carriers.get(tooth);
    if (known !== undefined) return known;
    const side = tooth === null ? 0 : tooth < 20 ? -1 : 1;
    const points = before.points.points.filter((point) => point.tooth === tooth).map(({ at }) => at);
    const middle = [0, 1, 2].map((k) => points.reduce((sum, p) => sum + p[k]!, 0) / points.length);
    const centre: Vector3 = [middle[0]!, middle[1]!, middle[2]!];
    const made: Carrier = {
      transform: fromRotationVector([0, (-side * tipping) / DEGREES, 0], [2 * side, 0, 0], centre),
      covariance: COVARIANCE,
      centre: [centre[0] + 2 * side, centre[1], centre[2]],
    };
    carriers.set(tooth, made);
    return made;
  };
  const there = before.points.points.map((point) => carried(point.at, carrierOf(point.tooth)));
  const spots = before.points.points.map(({ tooth, place }, i) => ({ tooth, place, at: there[i]!.at }));
  const after = scanOf("after", spots, DEFAULT_SETTINGS);
  const points = after.points.points.map((point, i) => ({ ...point, carried: there[i]!.error }));
  // The frame's supports name the very points, so the scan is made again from the carried ones.
  return [
    before,
    {
      ...after,
      points: { ...after.points, points },
      supports: after.supports.map(({ point, rows }) => ({
        point: points[after.points.points.indexOf(point)]!,
        rows,
      })),
    },
  ];
}

const changes = (tipping: number): Map<string, SpanReading> => {
  const [first, second] = carriedScans(tipping);
  const { arch } = readArch(first, second, new Set(), DEFAULT_SETTINGS);
  const teeth = arch.teeth.flatMap(({ inclination, rotation, crownHeight }) => [inclination, rotation, crownHeight]);
  return new Map(
    [...arch.arch, ...arch.midline, ...arch.parts.map(({ transverse }) => transverse), ...teeth].flatMap((reading) =>
      reading === null ? [] : [[reading.name, reading]],
    ),
  );
};
const components = (reading: SpanReading | undefined) => {
  if (reading?.change.state !== "given") throw new Error(`${reading?.name} withheld`);
  return reading.change.reading.components;
};

describe("changes from carried points", () => {
  test("a distance within one crown: neither the hand nor the crown's registration changes it, however it tipped", () => {
    for (const tipping of [0, 9]) {
      const { point, registration } = components(changes(tipping).get("clinical crown height of 16"));
      // The points of one crown err together; taken each by itself the registration would give 0.05 mm and more.
      expect(point).toBeLessThan(1e-6);
      expect(registration).toBeLessThan(1e-6);
    }
  });

  test("the gap between two crowns has the registration of both, at the place of each contact", () => {
    const { point, registration } = components(changes(0).get("gap between 11 and 21"));
    expect(point).toBeLessThan(1e-6);
    // Each crown's shift of 0.03 mm, and its turn of 0.2° over the contact's distance from the crown's middle.
    expect(registration).toBeGreaterThan(Math.SQRT2 * 0.03);
    expect(registration).toBeLessThan(Math.SQRT2 * Math.hypot(0.03, (0.2 / DEGREES) * 6));
  });

  test("the hand enters a transverse width by tipping times placement error: 0.25·2·sin 4° for 8°", () => {
    const name = "transverse width 7–7, mesiobuccal cusp tips";
    expect(components(changes(0).get(name)).point).toBeLessThan(0.003);
    const expected = 0.25 * 2 * Math.sin(4 / DEGREES);
    expect(Math.abs(components(changes(8).get(name)).point / expected - 1)).toBeLessThan(0.05);
  });

  test("a tipping read from carried points has of each crown's registration its turn", () => {
    const { registration } = components(changes(0).get("inclination of 17"));
    expect(registration).toBeGreaterThan(0.2);
    expect(registration).toBeLessThan(0.23);
  });

  test("carried points stand where the crown brought them", () => {
    const [first, second] = carriedScans(8);
    const moved = second.points.points[0]!;
    const { carrier } = moved.carried!.shares[0]!;
    expect(apply(carrier.transform, first.points.points[0]!.at)).toEqual(moved.at);
  });
});
