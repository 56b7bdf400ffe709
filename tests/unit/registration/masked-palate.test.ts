import { describe, expect, test } from "vitest";
import {
  apply,
  compose,
  fromRotationVector,
  IDENTITY,
  invert,
  type RigidTransform,
} from "#core/geometry/rigid-transform";
import { distance, type Vector3 } from "#core/geometry/vector";
import { maskedSurface } from "#core/mesh/masked-surface";
import { surfaceOf } from "#core/mesh/surface";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";
import type { ArchScan, PartOutcome } from "#core/registration/halves-registration";
import { registerPalate } from "#core/registration/palate";
import { registrationSurface } from "#core/registration/registration-surface";
import { terrain } from "../mesh/surfaces";
import { halvesMoved, type InventedScan, inventedMarks, inventedScan } from "./invented-arch";

const poses = {
  before: fromRotationVector([0.4, -0.3, 1.1], [30, -12, 50]),
  after: fromRotationVector([-0.6, 0.2, -0.8], [-10, 22, 5]),
};
const right: RigidTransform = fromRotationVector([0, 0.02, -0.03], [-1.5, 0, 0], [0, 50, 0]);
const left: RigidTransform = fromRotationVector([0, -0.02, 0.03], [1.5, 0, 0], [0, 50, 0]);
const widening = halvesMoved(right, left);

/** The rugae in front and the vault behind them, between which the plate ends. */
const PLATE_BACK = 20;

/** An acrylic plate over the front half of the palate: its own smooth surface up to 2 mm in front of the mucosa. */
function withPlate(p: Vector3): Vector3 {
  const [x, y, z] = p;
  const q = widening(p);
  if (y > PLATE_BACK || y < 7 || Math.abs(x) > 15) return q;
  return [q[0], q[1], q[2] - 0.9 - 0.05 * (PLATE_BACK - y) - 0.02 * x + 0.02 * z];
}

function scanned(name: "before" | "after", more: Partial<InventedScan>): ArchScan {
  const spacing = name === "before" ? 0.24 : 0.26;
  const scan: InventedScan = { person: 1, spacing, noise: 0, seed: 100 * spacing, pose: poses[name], ...more };
  return {
    surface: registrationSurface(surfaceOf(inventedScan(scan))),
    toFrame: invert(poses[name]),
    marks: inventedMarks({ ...scan, ...(name === "after" ? { motion: widening } : {}) }, 0.3),
    name,
  };
}

const before = scanned("before", {});
const bare = scanned("after", { motion: widening });
const plated = scanned("after", { motion: withPlate });

/** Triangles whose corners differ between two scans of one triangulation. */
function changed(a: TriangleMesh, b: TriangleMesh): Uint8Array {
  const moved = a.positions.map((value, i) => (Math.abs(value - b.positions[i]!) > 1e-9 ? 1 : 0));
  return Uint8Array.from({ length: a.triangles.length / 3 }, (_, t) =>
    [0, 1, 2].some((corner) =>
      moved.subarray(3 * a.triangles[3 * t + corner]!, 3 * a.triangles[3 * t + corner]! + 3).includes(1),
    )
      ? 1
      : 0,
  );
}

/** Root mean square distance of a half's fit from its true motion over the vault, mm. */
function errorOf(outcome: PartOutcome, truth: RigidTransform, side: -1 | 1): number {
  if (outcome.state === "failed") return Number.NaN;
  const found = compose(invert(poses.after), compose(outcome.fit.fit.transform, poses.before));
  let squares = 0;
  let count = 0;
  for (let y = 10; y <= 34; y += 4) {
    for (let x = 4; x <= 13; x += 3) {
      const p: Vector3 = [side * x, y, 15];
      squares += distance(apply(found, p), apply(truth, p)) ** 2;
      count++;
    }
  }
  return Math.sqrt(squares / count);
}

describe("a plate over the front half of the palate of the after scan", () => {
  const mask = changed(bare.surface.mesh, plated.surface.mesh);
  const masked = { ...plated, surface: maskedSurface(plated.surface, mask) };

  const marred = registerPalate(before, plated);
  const found = registerPalate(before, masked);

  test("unmasked it spoils a half by half a millimetre, and the patient's identity is doubtful", () => {
    expect(Math.max(errorOf(marred.right, right, -1), errorOf(marred.left, left, 1))).toBeGreaterThan(0.3);
    expect(marred.identity.verdict).toBe("doubtful");
  });

  test("masked, both halves are found where they went, within 0.01 mm (root mean square), without a warning", () => {
    expect(errorOf(found.right, right, -1)).toBeLessThan(0.01);
    expect(errorOf(found.left, left, 1)).toBeLessThan(0.01);
    expect(found.identity.verdict).toBe("same");
    expect(found.warnings).toEqual([]);
  });

  test("the plate is no partner of any point: about half of each half is on both scans", () => {
    for (const half of [found.right, found.left]) {
      if (half.state === "failed") throw new Error(half.error.problem);
      expect(half.fit.fit.overlap).toBeLessThan(0.8);
      expect(half.fit.fit.overlap).toBeGreaterThan(0.4);
    }
  });

  test("masked on the scan that moves, it is left out of the region as well", () => {
    const back = registerPalate(masked, before);
    const region = back.regions.before!.whole;
    expect(region.mask.some((one, v) => one === 1 && masked.surface.masked!.vertices[v] === 1)).toBe(false);
    expect(region.area).toBeLessThan(0.8 * registerPalate(bare, before).regions.before!.whole.area);
    if (back.right.state === "failed") throw new Error(back.right.error.problem);
    const p: Vector3 = [-9, 25, 15];
    const arrived = apply(back.right.fit.fit.transform, apply(poses.after, apply(right, p)));
    expect(distance(arrived, apply(poses.before, p))).toBeLessThan(0.02);
  });
});

describe("a reference painted on the before scan", () => {
  const inFrame = (scan: ArchScan, v: number): Vector3 => {
    const p = scan.surface.mesh.positions;
    return apply(scan.toFrame, [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]);
  };
  const paint = (scan: ArchScan, inside: (p: Vector3) => boolean): Uint8Array => {
    const { triangles } = scan.surface.mesh;
    return Uint8Array.from({ length: triangles.length / 3 }, (_, t) =>
      inside(inFrame(scan, triangles[3 * t]!)) ? 1 : 0,
    );
  };
  const rugae = ([x, y, z]: Vector3) => Math.abs(x) < 11 && y > 10 && y < 26 && z > 5;

  test("stands in place of the proposed region, in halves that keep away from the median plane", () => {
    const found = registerPalate({ ...before, painted: paint(before, rugae) }, bare);
    const region = found.regions.before!;
    expect(region.origin).toBe("painted");
    const xs = (mask: Uint8Array) => [...mask.keys()].filter((v) => mask[v] === 1).map((v) => inFrame(before, v)[0]);
    expect(Math.max(...xs(region.right.mask))).toBeLessThan(-3.5);
    expect(Math.min(...xs(region.left.mask))).toBeGreaterThan(3.5);
    expect(Math.max(...xs(region.whole.mask))).toBeLessThan(11.6);
    expect(errorOf(found.right, right, -1)).toBeLessThan(0.02);
    expect(errorOf(found.left, left, 1)).toBeLessThan(0.02);
    if (found.right.state === "failed") throw new Error(found.right.error.problem);
    expect(found.right.fit.label).toMatch(/; over the reference painted on the before scan$/);
  });

  test("without what is masked on the same scan", () => {
    const mask = paint(before, ([x]) => x < 0);
    const surface = maskedSurface(before.surface, mask);
    const found = registerPalate({ ...before, surface, painted: paint(before, rugae) }, bare);
    expect(found.regions.before!.right.area).toBe(0);
    expect(found.left.state).toBe("fitted");
  });

  test("is refused where too little of it lies on a half, with what to do", () => {
    const found = registerPalate({ ...before, painted: paint(before, (p) => rugae(p) && p[0] > -4.5) }, bare);
    expect(found.right).toMatchObject({
      state: "failed",
      error: { code: "too-few-points", remedy: expect.stringMatching(/^Paint more of the rugae/) },
    });
    expect(found.left.state).toBe("fitted");
  });

  test("is refused where it is too flat to hold a position, with what to do", () => {
    const surface = registrationSurface(surfaceOf(terrain(80, 80, { x: [-20, 20], y: [-20, 20] }, () => 0)));
    const marks = [
      { tooth: 13, place: "cusp-tip", at: [-15, -10, 0] },
      { tooth: 23, place: "cusp-tip", at: [15, -10, 0] },
      { tooth: 16, place: "palatal-gingival", at: [-15, 15, 0] },
      { tooth: 15, place: "palatal-gingival", at: [-15, 5, 1] },
    ] as const;
    const scan: ArchScan = { surface, toFrame: IDENTITY, marks, name: "before" };
    const painted = new Uint8Array(surface.mesh.triangles.length / 3).fill(1);
    const found = registerPalate({ ...scan, painted }, { ...scan, name: "after", painted });
    for (const half of [found.right, found.left]) {
      expect(half).toMatchObject({
        state: "failed",
        error: { code: "fit-unstable", remedy: "Choose a larger region with more relief, such as the rugae" },
      });
    }
  });
});

test("a palate that may not be used gives its reason for every part, on whichever scan", () => {
  const refused = { code: "masked", subject: "The palate", problem: "covered", remedy: "Paint" } as const;
  for (const found of [registerPalate({ ...before, refused }, bare), registerPalate(before, { ...bare, refused })]) {
    for (const part of [found.whole, found.right, found.left]) {
      expect(part).toEqual({ state: "failed", error: refused });
    }
    expect(found.identity.verdict).toBe("unknown");
  }
});
