import { describe, expect, test } from "vitest";
import { absoluteOrientation, fitPointSets } from "#core/geometry/absolute-orientation";
import { DEGREES } from "#core/geometry/real";
import { apply, compose, invert, type RigidTransform, rotationVector } from "#core/geometry/rigid-transform";
import { length, subtract, type Vector3 } from "#core/geometry/vector";

describe("Umeyama 1991 (IEEE PAMI 13:376-380), the example whose points are mirror images", () => {
  const from = [
    [0, 0],
    [1, 0],
    [0, 2],
  ];
  const to = [
    [0, 0],
    [-1, 0],
    [0, 2],
  ];

  test("the similarity is a rotation, not a reflection, with the scale and error of the paper", () => {
    const fit = fitPointSets(from, to, { withScale: true });
    expect(fit.rotation[0]![0]).toBeCloseTo(0.83205, 6);
    expect(fit.rotation[0]![1]).toBeCloseTo(0.5547, 6);
    expect(fit.rotation[1]![0]).toBeCloseTo(-0.5547, 6);
    expect(fit.rotation[1]![1]).toBeCloseTo(0.83205, 6);
    expect(fit.translation[0]).toBeCloseTo(-0.8, 12);
    expect(fit.translation[1]).toBeCloseTo(0.4, 12);
    expect(fit.scale).toBeCloseTo(0.72111, 6);
    // The paper prints the mean squared error.
    expect(fit.squaredError / from.length).toBeCloseTo(0.533333, 6);
    expect(fit.singularValues[0]).toBeCloseTo(0.956172, 6);
    expect(fit.singularValues[1]).toBeCloseTo(0.154939, 6);
  });

  test("the rigid fit of the same points has the same rotation (shift and error computed from the paper's points)", () => {
    const fit = fitPointSets(from, to, { withScale: false });
    expect(fit.rotation[0]![0]).toBeCloseTo(0.83205, 6);
    expect(fit.rotation[1]![0]).toBeCloseTo(-0.5547, 6);
    expect(fit.translation[0]).toBeCloseTo(-0.980484, 6);
    expect(fit.translation[1]).toBeCloseTo(0.296867, 6);
    expect(fit.squaredError).toBeCloseTo(1.859265, 6);
  });
});

/** The rotation by 60 degrees about (1, 1, 1), whose matrix is rational; worked by hand, no published source. */
describe("the exact 60-degree case with rational coordinates", () => {
  const from: Vector3[] = [
    [0, 0, 0],
    [3, 0, 0],
    [0, 3, 0],
    [0, 0, 3],
    [3, 3, 3],
    [6, 0, -3],
  ];
  const to: Vector3[] = [
    [10, -5, 2.5],
    [12, -3, 1.5],
    [9, -3, 4.5],
    [12, -6, 4.5],
    [13, -2, 5.5],
    [12, 0, -1.5],
  ];
  const truth: RigidTransform = {
    rotation: [2 / 3, -1 / 3, 2 / 3, 2 / 3, 2 / 3, -1 / 3, -1 / 3, 2 / 3, 2 / 3],
    translation: [10, -5, 2.5],
  };
  const offsets: Vector3[] = [
    [0.1, 0, 0],
    [-0.1, 0, 0],
    [0, 0.1, 0],
    [0, -0.1, 0],
    [0, 0, 0.1],
    [0, 0, -0.1],
  ];
  const disturbed = to.map((q, i): Vector3 => [q[0] + offsets[i]![0], q[1] + offsets[i]![1], q[2] + offsets[i]![2]]);

  test("undisturbed points give the rotation and the shift back to rounding", () => {
    const fit = absoluteOrientation(from, to);
    for (let k = 0; k < 9; k++) expect(fit.rotation[k]).toBeCloseTo(truth.rotation[k]!, 12);
    for (let k = 0; k < 3; k++) expect(fit.translation[k]).toBeCloseTo(truth.translation[k]!, 12);
  });

  test("points set off by 0.1 mm along the axes give the least-squares motion, to nine digits", () => {
    const fit = absoluteOrientation(from, disturbed);
    const expected = [
      0.668471681, -0.330820287, 0.666110763, 0.663494328, 0.66992427, -0.333131728, -0.336037033, 0.66464984,
      0.667322787,
    ];
    for (let k = 0; k < 9; k++) expect(fit.rotation[k]).toBeCloseTo(expected[k]!, 8);
    const shift = [9.994154876, -4.99701373, 2.507096166];
    for (let k = 0; k < 3; k++) expect(fit.translation[k]).toBeCloseTo(shift[k]!, 8);
    const squares = from.reduce((sum, p, i) => {
      const d = length(subtract(disturbed[i]!, apply(fit, p)));
      return sum + d * d;
    }, 0);
    expect(squares).toBeCloseTo(0.0590205456, 9);
    expect(Math.sqrt(squares / 6)).toBeCloseTo(0.09918042952, 9);
    expect(length(rotationVector(compose(fit, invert(truth)))) * DEGREES).toBeCloseTo(0.2638313992, 7);
  });
});
