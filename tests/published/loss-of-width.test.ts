import { describe, expect, test } from "vitest";
import type { Quantity } from "#core/readings/quantity";
import { percentOf } from "#core/readings/retention";

/** A figure with a standard uncertainty. */
const quantity = (value: number, u: number): Quantity => ({
  value,
  standardUncertainty: u,
  expandedUncertainty: 1.959963984540054 * u,
  coverageFactor: 1.959963984540054,
  components: { point: u, registration: 0, scanner: 0 },
});

describe("loss in per cent of the gain, from published mean changes of intermolar width", () => {
  test.each([
    ["Chamberland & Proffit 2011 (AJODO 139:815-822), n = 38, printed as 24 %", 1.83, 7.6, 24.08],
    ["Chamberland & Proffit 2008 (J Oral Maxillofac Surg), n = 20, printed as 30 %", 2.22, 7.48, 29.68],
    ["Choi 2016 (Angle Orthod 86:713-720), n = 20", 0.42, 4.43, 9.48],
  ])("%s", (_, loss, gain, percent) => {
    const share = percentOf(quantity(loss, 0.1), quantity(gain, 0.1), 0.005);
    expect(share).toMatchObject({ state: "given" });
    if (share.state === "given") expect(share.reading.value).toBeCloseTo(percent, 2);
  });

  test("a gain that is not beyond its error gives no share", () => {
    expect(percentOf(quantity(0.3, 0.3), quantity(0.5, 0.3), 0).state).toBe("withheld");
    expect(percentOf(quantity(0.3, 0.3), quantity(-4, 0.3), 0).state).toBe("withheld");
  });
});

describe("Fieller 1954 (J R Stat Soc B 16:175): the interval of the share", () => {
  test("its ends are the shares ρ for which loss − ρ·gain lies on the edge of its own 95 % interval", () => {
    const [loss, gain, covariance] = [quantity(1.5, 0.4), quantity(6, 0.4), 0.08];
    const share = percentOf(loss, gain, covariance);
    if (share.state !== "given") throw new Error(share.reason.text);
    expect(share.reading.low).toBeLessThan(25);
    expect(share.reading.high).toBeGreaterThan(25);
    for (const rho of [share.reading.low / 100, share.reading.high / 100]) {
      const edge = (1.5 - rho * 6) ** 2;
      expect(edge).toBeCloseTo(1.959963984540054 ** 2 * (0.16 + rho * rho * 0.16 - 2 * rho * covariance), 9);
    }
  });
});
