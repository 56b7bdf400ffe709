import { describe, expect, test } from "vitest";
import { guessedStand } from "#core/arch/guessed-stand";
import { apply, fromRotationVector, invert, type RigidTransform, rotate } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";

/** A parabolic arch, wide behind and narrow in front, in the arch frame: its surface looks to occlusal (−z). */
function arch(): { points: Vector3[]; normals: Vector3[] } {
  const points: Vector3[] = [];
  const normals: Vector3[] = [];
  for (let i = -60; i <= 60; i++) {
    for (let j = 0; j <= 20; j++) {
      const x = (i / 60) * 28 * (0.75 + j / 80);
      points.push([x, 0.055 * x * x + j / 3, 4 * (1 - j / 20)]);
      // Inner and outer faces lean to their sides.
      const lean = (j - 10) / 12;
      const size = Math.sqrt(1 + lean * lean);
      normals.push([0, lean / size, -1 / size]);
    }
  }
  return { points, normals };
}

function standOf(pose: RigidTransform): RigidTransform {
  const { points, normals } = arch();
  const centre = apply(pose, [0, 20, 2]);
  const positions = points.flatMap((point) => apply(pose, point).map((value, k) => value - centre[k]!));
  return guessedStand({
    positions: Float32Array.from(positions),
    normals: Float32Array.from(normals.flatMap((normal) => rotate(pose, normal))),
    centre,
  });
}

describe("an arch without landmarks stands, for looking at it,", () => {
  const poses: [string, RigidTransform][] = [
    ["as it came", fromRotationVector([0, 0, 0])],
    ["turned about the vertical", fromRotationVector([0, 0, 2.2], [40, -7, 3])],
    ["upside down", fromRotationVector([Math.PI, 0, 0], [0, 0, 60])],
    ["lying anyhow, far from the origin", fromRotationVector([0.7, -1.3, 0.4], [900, -450, 120])],
  ];
  test.each(poses)("with its occlusal side below and its front ahead: %s", (_, pose) => {
    const stand = standOf(pose);
    const seen = (direction: Vector3) => rotate(stand, rotate(pose, direction));
    // Within 15°: a guess, better than that it need not be.
    expect(seen([0, 0, -1])[2]).toBeLessThan(-0.966);
    expect(seen([0, -1, 0])[1]).toBeLessThan(-0.966);
    expect(seen([1, 0, 0])[0]).toBeGreaterThan(0.966);
  });

  test.each(poses)("about the middle of its points: %s", (_, pose) => {
    const { points } = arch();
    const middle = [0, 1, 2].map((k) => points.reduce((sum, p) => sum + p[k]!, 0) / points.length);
    const origin = apply(invert(pose), apply(invert(standOf(pose)), [0, 0, 0]));
    origin.forEach((value, k) => {
      expect(value).toBeCloseTo(middle[k]!, 3);
    });
  });
});
