import { describe, expect, test } from "vitest";
import { DEGREES, sin } from "#core/geometry/real";
import {
  apply,
  compose,
  fromRotationVector,
  IDENTITY,
  invert,
  type RigidTransform,
} from "#core/geometry/rigid-transform";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";
import { rigidIcp } from "#core/registration/rigid-icp";
import { terrain } from "../mesh/surfaces";
import { changedArch, POSE, prepare, scan } from "./changed-arch";
import { inventedScan } from "./invented-arch";
import { rootMeanSquareOff, vaultOf } from "./pose-error";

const pose = POSE;
const { before, after } = changedArch();

/** Root mean square error of after → before over the after scan's vertices (of a region), mm. */
const errorOf = (found: RigidTransform, region?: Uint8Array): number =>
  rootMeanSquareOff(found, invert(pose), after.mesh, region);

describe("an arch of which a fifth has changed", () => {
  const robust = rigidIcp({ moving: after, fixed: before, start: IDENTITY, robustness: "tukey", name: "The arch" });
  const plain = rigidIcp({ moving: after, fixed: before, start: IDENTITY, robustness: "even", name: "The arch" });

  test("a fit that lets every point pull ends a third of a millimetre off; the robust fit does not", () => {
    expect(errorOf(plain.transform)).toBeGreaterThan(0.2);
    expect(errorOf(robust.transform)).toBeLessThan(0.005);
  });

  test("the robust fit says what it left out, and how well the rest lies", () => {
    expect(robust.rms).toBeGreaterThan(0.015);
    expect(robust.rms).toBeLessThan(0.035);
    expect(robust.inlierShare).toBeGreaterThan(0.7);
    expect(robust.inlierShare).toBeLessThan(0.85);
    expect(robust.overlap).toBeGreaterThan(robust.inlierShare);
    expect(robust.rmsOfAll).toBeGreaterThan(4 * robust.rms);
    expect(robust.condition).toBeLessThan(20);
    expect(robust.sentence).toMatch(
      /^The arch fits to 0\.02 mm over 1\d,\d{3} points; its shape holds the position well\. 2\d % of it does not match/,
    );
  });

  test("before on after gives the same position as after on before", () => {
    const back = rigidIcp({ moving: before, fixed: after, start: IDENTITY, robustness: "tukey", name: "The arch" });
    expect(errorOf(invert(back.transform))).toBeLessThan(0.005);
  });

  test("equal input gives equal output to the last bit", () => {
    const again = rigidIcp({ moving: after, fixed: before, start: IDENTITY, robustness: "tukey", name: "The arch" });
    expect(again).toEqual(robust);
  });

  test("the position found goes with the scans when both are moved", () => {
    const there = fromRotationVector([1.2, -0.4, 0.8], [80, -30, 55]);
    const carried = (mesh: TriangleMesh): TriangleMesh => {
      const positions = mesh.positions.slice();
      for (let i = 0; i < positions.length; i += 3) {
        positions.set(apply(there, [positions[i]!, positions[i + 1]!, positions[i + 2]!]), i);
      }
      return { ...mesh, positions };
    };
    const found = rigidIcp({
      moving: prepare(carried(after.mesh)),
      fixed: prepare(carried(before.mesh)),
      start: IDENTITY,
      robustness: "tukey",
      name: "The arch",
    });
    const home = compose(invert(there), compose(found.transform, there));
    expect(errorOf(compose(home, compose(invert(robust.transform), invert(pose))))).toBeLessThan(1e-3);
  });
});

describe("a stable region", () => {
  const region = vaultOf(after.mesh, pose);
  const fit = rigidIcp({
    moving: after,
    fixed: before,
    start: IDENTITY,
    region,
    robustness: "tukey",
    name: "The palate",
    toFrame: IDENTITY,
  });

  test("lies within a hundredth of a millimetre of the truth", () => {
    expect(errorOf(fit.transform, region)).toBeLessThan(0.01);
    expect(fit.inlierShare).toBeGreaterThan(0.97);
    expect(fit.sentence).toMatch(/^The palate fits to 0\.02 mm over \d,\d{3} points; its shape holds the position/);
  });

  test("its standard uncertainties are of the size of its errors", () => {
    // Error of the fit as a small turn and shift at the region's centre, in the fixed axes.
    const error = compose(fit.transform, pose);
    const shift = apply(error, fit.centre).map((value, k) => value - fit.centre[k]!);
    const turn = [error.rotation[7], error.rotation[2], error.rotation[3]];
    for (let k = 0; k < 3; k++) {
      const uTurn = Math.sqrt(fit.covariance[7 * k]!);
      const uShift = Math.sqrt(fit.covariance[7 * (k + 3)]!);
      expect(Math.abs(turn[k]!)).toBeLessThan(3.5 * uTurn);
      expect(Math.abs(shift[k]!)).toBeLessThan(3.5 * uShift);
      expect(uTurn * DEGREES).toBeLessThan(0.1);
      expect(uShift).toBeLessThan(0.03);
    }
  });

  test("more samples of the same surface do not make it more certain: scanner errors are alike within a millimetre", () => {
    const sampled = (samples: number) =>
      rigidIcp({
        moving: after,
        fixed: before,
        start: IDENTITY,
        region,
        robustness: "tukey",
        name: "The palate",
        samples,
      });
    const [few, many] = [sampled(2000), sampled(8000)];
    for (let k = 0; k < 6; k++) {
      const ratio = Math.sqrt(few.covariance[7 * k]! / many.covariance[7 * k]!);
      expect(ratio).toBeGreaterThan(0.8);
      expect(ratio).toBeLessThan(1.25);
    }
  });

  test("what lies beyond the open border of the other scan has no partner there", () => {
    const short = prepare(inventedScan(scan({ seed: 3, backEnd: 25 })));
    const fit = rigidIcp({
      moving: after,
      fixed: short,
      start: IDENTITY,
      region,
      robustness: "tukey",
      name: "The palate",
    });
    const members = (mask: Uint8Array) => mask.reduce((sum, chosen) => sum + chosen, 0);
    const common = members(vaultOf(after.mesh, pose, (p) => p[1] < 25)) / members(region);
    expect(fit.overlap).toBeLessThan(common + 0.03);
    expect(fit.overlap).toBeGreaterThan(common - 0.06);
    expect(
      errorOf(
        fit.transform,
        vaultOf(after.mesh, pose, (p) => p[1] < 25),
      ),
    ).toBeLessThan(0.02);
  });

  test("partners outside the fixed region do not count", () => {
    const front = vaultOf(before.mesh, IDENTITY, (p) => p[1] < 24);
    const half = rigidIcp({
      moving: after,
      fixed: before,
      start: invert(pose),
      region,
      fixedRegion: front,
      robustness: "tukey",
      name: "The palate",
    });
    expect(half.overlap).toBeGreaterThan(0.3);
    expect(half.overlap).toBeLessThan(0.7);
  });
});

describe("a region whose shape does not hold a position", () => {
  /** A gutter: nothing but the noise holds it lengthwise. */
  const gutter = (seed: number, length: number) =>
    prepare(terrain(40 + seed, 60, { x: [-10, 10], y: [0, length] }, (x) => 0.05 * x * x));

  test("is refused, with the way it can slide", () => {
    expect(() =>
      rigidIcp({
        moving: gutter(1, 30),
        fixed: gutter(2, 33),
        start: IDENTITY,
        robustness: "tukey",
        name: "The palate",
        toFrame: IDENTITY,
      }),
    ).toThrowError(
      expect.objectContaining({
        code: "fit-unstable",
        subject: "The palate",
        problem: "the position cannot be told: its shape is so smooth that it can slide from front to back",
      }),
    );
  });

  test("is named in the sentence where it is only soft", () => {
    const bumpy = (seed: number, length: number) =>
      prepare(
        terrain(50 + seed, 70 + seed, { x: [-10, 10], y: [0, length] }, (x, y) => 0.05 * x * x + 0.08 * sin(0.8 * y)),
      );
    const fit = rigidIcp({
      moving: bumpy(1, 30),
      fixed: bumpy(2, 33),
      start: IDENTITY,
      robustness: "tukey",
      name: "The palate",
      toFrame: IDENTITY,
    });
    expect(fit.condition).toBeGreaterThan(200);
    expect(fit.sentence).toMatch(/smooth and can slide from front to back, so the position is uncertain that way/);
  });
});

describe("what cannot be registered", () => {
  test("a region smaller than 20 mm²", () => {
    const region = vaultOf(after.mesh, pose, (p) => p[1] < 13 && Math.abs(p[0]) < 2);
    expect(() =>
      rigidIcp({ moving: after, fixed: before, start: IDENTITY, region, robustness: "tukey", name: "The palate" }),
    ).toThrowError(expect.objectContaining({ code: "too-few-points" }));
  });

  test("surfaces that do not meet", () => {
    const away: RigidTransform = { ...IDENTITY, translation: [0, 0, 90] };
    expect(() =>
      rigidIcp({ moving: after, fixed: before, start: away, robustness: "tukey", name: "The palate" }),
    ).toThrowError(expect.objectContaining({ code: "no-region-fits" }));
  });

  test("work that is no longer wanted stops, within a few thousand points", () => {
    let polls = 0;
    const job = { progress: () => {}, cancelled: () => ++polls > 5 };
    expect(() =>
      rigidIcp({ moving: after, fixed: before, start: IDENTITY, robustness: "tukey", name: "The palate", job }),
    ).toThrowError(expect.objectContaining({ code: "cancelled" }));
    expect(polls).toBe(6);
  });
});

test("progress only grows and ends at 1", () => {
  const shares: number[] = [];
  const job = { progress: (share: number) => shares.push(share), cancelled: () => false };
  rigidIcp({
    moving: after,
    fixed: before,
    start: IDENTITY,
    robustness: "tukey",
    name: "The arch",
    samples: 3000,
    job,
  });
  expect(shares.every((share, i) => i === 0 || share >= shares[i - 1]!)).toBe(true);
  expect(shares[shares.length - 1]).toBe(1);
});
