import { describe, expect, test } from "vitest";
import type { Landmark } from "#core/arch/landmark";
import { snapLandmark } from "#core/arch/snap";
import { RapheError } from "#core/errors";
import { apply, fromRotationVector, IDENTITY, type RigidTransform, rotate } from "#core/geometry/rigid-transform";
import { distance, type Vector3 } from "#core/geometry/vector";
import { type Surface, surfaceOf } from "#core/mesh/surface";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";

/** A small seeded generator (mulberry32) for scanner noise. */
function random(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** A height field z(x, y) over a jittered grid of 0.33 mm, with normal-like noise, in a pose. */
function field(
  height: (x: number, y: number) => number,
  pose: RigidTransform = IDENTITY,
  noise = 0,
  seed = 1,
): Surface {
  const n = 34;
  const step = 0.33;
  const dice = random(seed);
  const positions: number[] = [];
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      const x = (i - n / 2 + 0.6 * (dice() - 0.5)) * step;
      const y = (j - n / 2 + 0.6 * (dice() - 0.5)) * step;
      const z = height(x, y) + noise * (dice() + dice() + dice() + dice() - 2) * Math.sqrt(3);
      positions.push(...apply(pose, [x, y, z]));
    }
  }
  const triangles: number[] = [];
  for (let j = 0; j + 1 < n; j++) {
    for (let i = 0; i + 1 < n; i++) {
      const a = j * n + i;
      triangles.push(a, a + 1, a + n, a + 1, a + n + 1, a + n);
    }
  }
  const mesh: TriangleMesh = {
    positions: Float64Array.from(positions),
    triangles: Uint32Array.from(triangles),
    fileTriangles: Uint32Array.from(triangles.slice(0, triangles.length / 3), (_, i) => i),
  };
  return surfaceOf(mesh);
}

/** A cusp: steep flanks, ridge to one side, a tip of about 1 mm radius. Its highest point is found by a fine search. */
const cusp = (x: number, y: number) =>
  1.2 - Math.sqrt(1 + 1.1 * (x - 0.2) ** 2 + 0.7 * (y + 0.1) ** 2 + 0.3 * x * y) + 0.05 * x;
function summit(height: (x: number, y: number) => number): Vector3 {
  let best: Vector3 = [0, 0, -Infinity];
  for (let x = -1; x <= 1; x += 0.002) {
    for (let y = -1; y <= 1; y += 0.002) if (height(x, y) > best[2]) best = [x, y, height(x, y)];
  }
  return best;
}

const POSE = fromRotationVector([0.5, -0.8, 1.1], [12, 40, -7]);
const mark = (place: Landmark["place"], tooth: number, at: Vector3, snap?: boolean): Landmark => ({
  tooth,
  place,
  at: [...at],
  ...(snap === undefined ? {} : { snap }),
});

describe("a click finds the spot meant", () => {
  test("the cusp tip, within 0.05 mm from clicks 0.5 mm beside it, on a noisy scan in any pose", () => {
    const tip = summit(cusp);
    const worst: number[] = [];
    for (let seed = 1; seed <= 12; seed++) {
      const surface = field(cusp, POSE, 0.02, seed);
      const angle = seed * 0.9;
      const click: Vector3 = [tip[0] + 0.5 * Math.cos(angle), tip[1] + 0.5 * Math.sin(angle), 0];
      const placed = apply(POSE, [click[0], click[1], cusp(click[0], click[1])]);
      const snap = snapLandmark(surface, mark("mesiobuccal-cusp-tip", 16, placed), rotate(POSE, [0, 0, 1]), "before");
      expect(snap.how).toBe("snapped-to-highest");
      worst.push(distance(snap.at, apply(POSE, tip)));
    }
    expect(Math.max(...worst)).toBeLessThan(0.1);
    expect(Math.sqrt(worst.reduce((sum, d) => sum + d * d, 0) / worst.length)).toBeLessThan(0.05);
  });

  test("the deepest point of a fossa", () => {
    const fossa = (x: number, y: number) => -cusp(x, y);
    const tip = summit(cusp);
    const surface = field(fossa, IDENTITY, 0.02, 3);
    const snap = snapLandmark(
      surface,
      mark("central-fossa", 16, [tip[0] + 0.4, tip[1], fossa(tip[0] + 0.4, tip[1])]),
      [0, 0, 1],
      "before",
    );
    expect(snap.how).toBe("snapped-to-deepest");
    expect(distance(snap.at, [tip[0], tip[1], -tip[2]])).toBeLessThan(0.1);
  });

  test("the gingival margin at its most apical point", () => {
    // Seen from the palate: apical is +y, outwards is +z; the margin arches as y = 0.8 − x²/8, a crease of two walls.
    const crease = (x: number, y: number) => 0.7 * Math.sqrt((y - 0.8 + (x * x) / 8) ** 2 + 0.06);
    const worst: number[] = [];
    for (let seed = 1; seed <= 8; seed++) {
      const surface = field(crease, POSE, 0.02, seed);
      const click: Vector3 = [0.25 * Math.cos(seed), 0.8 + 0.25 * Math.sin(seed), 0];
      const placed = apply(POSE, [click[0], click[1], crease(click[0], click[1])]);
      const snap = snapLandmark(surface, mark("palatal-gingival", 16, placed), rotate(POSE, [0, -1, 0]), "before");
      expect(snap.how).toBe("snapped-to-margin");
      worst.push(distance(snap.at, apply(POSE, [0, 0.8, crease(0, 0.8)])));
    }
    expect(Math.max(...worst)).toBeLessThan(0.2);
  });

  test("a click on a slope without a tip in reach stays where it was dropped", () => {
    const surface = field((x) => 0.8 * x);
    const snap = snapLandmark(surface, mark("cusp-tip", 13, [0, 0, 0.2]), [0, 0, 1], "before");
    expect(snap.how).toBe("dropped-to-surface");
    expect(Math.abs(snap.at[2] - 0.8 * snap.at[0])).toBeLessThan(1e-9);
  });

  test("a landmark told to stay is used exactly as placed", () => {
    const surface = field(cusp);
    const snap = snapLandmark(surface, mark("cusp-tip", 13, [0.5, 0.5, 0], false), [0, 0, 1], "before");
    expect(snap.at).toEqual([0.5, 0.5, 0]);
  });

  test("a landmark more than a millimetre off the surface is an error that names it", () => {
    const surface = field(cusp);
    const far = () => snapLandmark(surface, mark("cusp-tip", 13, [0, 0, 5]), [0, 0, 1], "before");
    expect(far).toThrowError(RapheError);
    expect(far).toThrowError(/before: the cusp tip of 13 is \d\.\d mm away from the surface/);
  });
});
