import { describe, expect, test } from "vitest";
import { firstHit } from "../../../src-renderer/stage/first-hit";

// Two squares seen from above: one at z = 0, one at z = 5 over its left half.
//   (0,0) … (2,2) at z = 0;   (0,0) … (1,2) at z = 5
const scan = {
  positions: Float32Array.from([0, 0, 0, 2, 0, 0, 2, 2, 0, 0, 2, 0, 0, 0, 5, 1, 0, 5, 1, 2, 5, 0, 2, 5]),
  triangles: Uint32Array.from([0, 1, 2, 0, 2, 3, 4, 5, 6, 4, 6, 7]),
};
const down = [0, 0, -1] as const;

describe("a click meets the surface that is seen", () => {
  test("the upper of two sheets", () => expect(firstHit(scan, [0.5, 1, 10], down)).toEqual({ way: 5, triangle: 2 }));
  test("the lower one where nothing lies above it", () =>
    expect(firstHit(scan, [1.5, 1, 10], down)).toEqual({ way: 10, triangle: 0 }));
  test("from behind as well: a scan is seen from both sides", () =>
    expect(firstHit(scan, [1.5, 1, -3], [0, 0, 1])).toEqual({ way: 3, triangle: 0 }));
  test("what lies behind the eye is not met", () => expect(firstHit(scan, [1.5, 1, -3], down)).toBeNull());
  test("beside the scan there is nothing", () => expect(firstHit(scan, [3, 1, 10], down)).toBeNull());
  test("a ray along the sheet meets nothing", () => expect(firstHit(scan, [-1, 1, 1], [1, 0, 0])).toBeNull());
});
