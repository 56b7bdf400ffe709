import { describe, expect, test } from "vitest";
import { archFrame, commonPlanePairs, inFrame } from "#core/arch/arch-frame";
import type { Landmark } from "#core/arch/landmark";
import { RapheError } from "#core/errors";
import { apply, fromRotationVector, type RigidTransform } from "#core/geometry/rigid-transform";
import type { Vector3 } from "#core/geometry/vector";

/** An invented arch in its own frame, z = 0 the occlusal plane, the raphe on x = 0. */
const marks = (pose: RigidTransform, raphe: readonly number[] = [4, 12, 22]): Landmark[] => {
  const at = (x: number, y: number, z: number) => [...apply(pose, [x, y, z])] as [number, number, number];
  const pair = (right: number, left: number, place: Landmark["place"], half: number, y: number): Landmark[] => [
    { tooth: right, place, at: at(-half, y, 0) },
    { tooth: left, place, at: at(half, y, 0) },
  ];
  return [
    ...pair(13, 23, "cusp-tip", 17, 4),
    ...pair(14, 24, "buccal-cusp-tip", 21, 11),
    ...pair(16, 26, "mesiobuccal-cusp-tip", 25, 26),
    { place: "incisive-papilla", at: at(0.4, 1, 8) },
    ...raphe.map((y): Landmark => ({ place: "median-raphe", at: at(0, y, 14) })),
  ];
};

const POSE = fromRotationVector([0.7, -1.9, 0.4], [31, -12, 55]);
const near = (found: Vector3, expected: Vector3) => {
  for (const axis of [0, 1, 2] as const) expect(found[axis]).toBeCloseTo(expected[axis], 9);
};

describe("the arch frame", () => {
  test("has +x to the patient's left, +y to the back and +z to the head in any pose", () => {
    const list = marks(POSE);
    const frame = archFrame(list, commonPlanePairs([list]), "before");
    expect(frame.source).toBe("raphe");
    near(inFrame(frame, apply(POSE, [25, 26, 0])), [25, 25, 0]); // 26 lies left and back of the papilla's place
    near(inFrame(frame, apply(POSE, [0, 1, 30])), [0, 0, 30]);
    expect(frame.planeRms).toBeCloseTo(0, 9);
  });

  test("without a palate it comes from the teeth and says so", () => {
    const list = marks(POSE).filter((mark) => mark.tooth !== undefined);
    const frame = archFrame(list, commonPlanePairs([list]), "before");
    expect(frame.label).toBe("frame from the teeth");
    near(inFrame(frame, apply(POSE, [17, 4, 0])), [17, 0, 0]); // origin on the canines' middle
  });

  test("stands on the pairs that all scans share", () => {
    const list = marks(POSE);
    const without14 = list.filter((mark) => mark.tooth !== 14);
    expect(commonPlanePairs([list, without14]).map((pair) => pair.right)).toEqual([13, 16]);
  });

  test("a raphe shorter than 10 mm is an error, not a frame", () => {
    const list = marks(POSE, [10, 16]);
    expect(() => archFrame(list, commonPlanePairs([list]), "before")).toThrowError(RapheError);
    expect(() => archFrame(list, commonPlanePairs([list]), "before")).toThrowError(/6\.0 mm apart/);
  });

  test("one pair of teeth fixes no plane", () => {
    const list = marks(POSE).filter((mark) => mark.tooth === undefined || mark.tooth % 10 === 6);
    expect(() => archFrame(list, commonPlanePairs([list]), "before")).toThrowError(/occlusal plane needs/);
  });
});
