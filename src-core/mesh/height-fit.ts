import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { exp } from "../geometry/real";
import { cross, dot, subtract, unit, type Vector3 } from "../geometry/vector";
import { vertexAt } from "./patch";
import type { Surface } from "./surface";

/** Height over a plane near a centre: h(u, v) = c0 + c1·u + c2·v + c3·u² + c4·u·v + c5·v², mm. */
export interface HeightFit {
  readonly coefficients: readonly number[];
  /** Axes of u and v, unit, perpendicular to the up direction. */
  readonly uAxis: Vector3;
  readonly vAxis: Vector3;
}

/** Two unit directions perpendicular to `up` and to each other. */
export function planeAxes(up: Vector3): [Vector3, Vector3] {
  const aside: Vector3 = Math.abs(up[0]) < 0.6 ? [1, 0, 0] : [0, 1, 0];
  const u = unit(cross(aside, up));
  return [u, cross(up, u)];
}

/**
 * Weighted least-squares quadric through vertices about `centre`, heights along `up`.
 * @param spread of the Gaussian weight by distance from the centre, mm
 * @returns null where the vertices do not fix six coefficients
 */
export function fitHeight(
  surface: Surface,
  vertices: readonly number[],
  centre: Vector3,
  up: Vector3,
  spread: number,
): HeightFit | null {
  if (vertices.length < 8) return null;
  const [uAxis, vAxis] = planeAxes(up);
  const normal = new Float64Array(36);
  const right = new Float64Array(6);
  const row = new Float64Array(6);
  for (const vertex of vertices) {
    const d = subtract(vertexAt(surface, vertex), centre);
    const u = dot(d, uAxis);
    const v = dot(d, vAxis);
    const h = dot(d, up);
    const weight = exp(-dot(d, d) / (2 * spread * spread));
    row.set([1, u, v, u * u, u * v, v * v]);
    for (let i = 0; i < 6; i++) {
      right[i]! += weight * row[i]! * h;
      for (let j = 0; j < 6; j++) normal[6 * i + j]! += row[i]! * row[j]! * weight;
    }
  }
  const matrix = Matrix.from1DArray(6, 6, normal);
  const cholesky = new CholeskyDecomposition(matrix);
  if (!cholesky.isPositiveDefinite()) return null;
  return { coefficients: cholesky.solve(Matrix.columnVector([...right])).to1DArray(), uAxis, vAxis };
}

/** The two principal curvatures of a height fit whose gradient is small, larger first (positive: hollow), 1/mm. */
export function curvatures(fit: HeightFit): [number, number] {
  const [, , , uu, uv, vv] = fit.coefficients as [number, number, number, number, number, number];
  const mean = uu + vv;
  const root = Math.sqrt((uu - vv) * (uu - vv) + uv * uv);
  return [mean + root, mean - root];
}
