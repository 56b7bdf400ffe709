import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { cross, dot, subtract, unit, type Vector3 } from "../geometry/vector";
import { vertexAt } from "./patch";
import type { Surface } from "./surface";

/**
 * Height over a plane near a centre, mm: h(u, v) = c0 + c1·u + c2·v + c3·u² + c4·u·v + c5·v², and for the third degree
 * + c6·u³ + c7·u²·v + c8·u·v² + c9·v³.
 */
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

/** The polynomial's terms at (u, v). */
function terms(degree: 2 | 3, u: number, v: number): number[] {
  const second = [1, u, v, u * u, u * v, v * v];
  return degree === 2 ? second : [...second, u * u * u, u * u * v, u * v * v, v * v * v];
}

/** The fitted height at (u, v), mm. */
export function heightAt(fit: HeightFit, u: number, v: number): number {
  const list = terms(fit.coefficients.length === 6 ? 2 : 3, u, v);
  return fit.coefficients.reduce((sum, c, i) => sum + c * list[i]!, 0);
}

/**
 * Weighted least-squares polynomial through vertices about `centre`, heights along `up`. The third degree follows a
 * ridge that is steeper on one side, where a quadric's top lies up to 0.1 mm towards the gentle side.
 * @param radius at which the weight (1 − d²/r²)³ has fallen to 0, mm: no vertex enters or leaves with a jump
 * @returns null where the vertices do not fix the coefficients
 */
export function fitHeight(
  surface: Surface,
  vertices: readonly number[],
  centre: Vector3,
  up: Vector3,
  radius: number,
  degree: 2 | 3,
): HeightFit | null {
  const size = degree === 2 ? 6 : 10;
  if (vertices.length < size + 2) return null;
  const [uAxis, vAxis] = planeAxes(up);
  const normal = new Float64Array(size * size);
  const right = new Float64Array(size);
  for (const vertex of vertices) {
    const d = subtract(vertexAt(surface, vertex), centre);
    const row = terms(degree, dot(d, uAxis), dot(d, vAxis));
    const h = dot(d, up);
    const inside = Math.max(0, 1 - dot(d, d) / (radius * radius));
    const weight = inside * inside * inside;
    for (let i = 0; i < size; i++) {
      right[i]! += weight * row[i]! * h;
      for (let j = 0; j < size; j++) normal[size * i + j]! += row[i]! * row[j]! * weight;
    }
  }
  const cholesky = new CholeskyDecomposition(Matrix.from1DArray(size, size, normal));
  if (!cholesky.isPositiveDefinite()) return null;
  return { coefficients: cholesky.solve(Matrix.columnVector([...right])).to1DArray(), uAxis, vAxis };
}

/** The two principal curvatures of a height fit whose gradient is small, larger first (positive: hollow), 1/mm. */
export function curvatures(fit: HeightFit): [number, number] {
  const [, , , uu, uv, vv] = fit.coefficients as unknown as [number, number, number, number, number, number];
  const mean = uu + vv;
  const root = Math.sqrt((uu - vv) * (uu - vv) + uv * uv);
  return [mean + root, mean - root];
}
