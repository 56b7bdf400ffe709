import { beforeAll, describe, expect, test } from "vitest";
import type { Place } from "#core/arch/landmark";
import { DEFAULT_SETTINGS } from "#core/case/case-document";
import type { ArchReadings, SpanReading } from "#core/readings/arch-document";
import { readArch } from "#core/readings/arch-readings";
import { type Spot, scanOf } from "../readings/invented-full-arch";
import { SampleCase, truthOf } from "./sample-case";

const all = ({ arch, midline, pairs, parts, teeth }: ArchReadings): SpanReading[] =>
  [
    ...arch,
    ...midline,
    ...pairs,
    ...parts.map(({ transverse }) => transverse),
    ...teeth.flatMap(({ inclination, rotation, crownHeight }) => [inclination, rotation, crownHeight]),
  ].filter((reading) => reading !== null);

const value = ({ change }: SpanReading): number => (change.state === "given" ? change.reading.value : Number.NaN);

describe.each(["fan", "parallel"])("arch and palate of the invented %s scans", (set) => {
  let measured: ArchReadings;
  let known: Map<string, SpanReading>;
  beforeAll(async () => {
    const sample = new SampleCase(set);
    await sample.open("before");
    await sample.open("after");
    measured = sample.measure("before", "after").readings.arch;
    const { scans } = truthOf(set);
    const truth = (name: string) =>
      scanOf(
        name,
        scans[name]!.landmarks.map(
          ({ tooth, place, refound }): Spot => ({ tooth: tooth ?? null, place: place as Place, at: refound }),
        ),
        DEFAULT_SETTINGS,
      );
    const { arch } = readArch(truth("before"), truth("after"), new Set(), DEFAULT_SETTINGS);
    known = new Map(all(arch).map((reading) => [reading.name, reading]));
  });

  // Landmarks were placed within 0.3 mm of the truth, which is about what the default figures assume.
  test("changes lie within their U of those of the true points, but for the share that 95 % allow", () => {
    const compared = all(measured).flatMap((reading) => {
      const truth = known.get(reading.name);
      if (truth === undefined || reading.change.state === "withheld" || truth.change.state === "withheld") return [];
      return [
        { name: reading.name, off: value(reading) - value(truth), U: reading.change.reading.expandedUncertainty },
      ];
    });
    expect(compared.length).toBeGreaterThan(55);
    const outside = compared.filter(({ off, U }) => Math.abs(off) > U);
    expect(outside.length, JSON.stringify(outside)).toBeLessThanOrEqual(3);
  });

  test("what published rules predict of the perimeter stands beside the measured change", () => {
    expect(measured.predictedPerimeters.map(({ gain }) => gain.state)).toEqual(["given", "given", "given", "given"]);
  });

  test("the palate got larger in every cross-section, in surface and in volume, beyond error", () => {
    for (const part of ["cross-section at the canines", "surface area", "volume"]) {
      const reading = measured.palate.find(({ name }) => name.includes(part))!;
      expect(value(reading), part).toBeGreaterThan(0);
      expect(reading.withinMeasurementError, part).toBe(false);
    }
  });
});
