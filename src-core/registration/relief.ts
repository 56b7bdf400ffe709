import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { apply, type RigidTransform, rotate } from "../geometry/rigid-transform";
import type { Surface } from "../mesh/surface";

/** Powers of x and y of a cubic surface. */
const TERMS: readonly (readonly [number, number])[] = [
  [0, 0],
  [1, 0],
  [0, 1],
  [2, 0],
  [1, 1],
  [0, 2],
  [3, 0],
  [2, 1],
  [1, 2],
  [0, 3],
];

/**
 * Root mean square relief of a region, mm: its distance from the cubic surface z(x, y) that fits it best in the arch
 * frame. A palate's vault is much alike in many people, what is left over (rugae, raphe, unevenness) is its own.
 * @param mask per vertex, 0 = not part of the region
 * @param toFrame file coordinates → arch frame, whose z the region faces
 * @returns NaN for a region of fewer vertices than the surface has coefficients, or all on one line
 */
export function reliefOf(surface: Surface, mask: Uint8Array, toFrame: RigidTransform): number {
  const { positions } = surface.mesh;
  const rows: { terms: number[]; z: number; slant: number }[] = [];
  for (let v = 0; v < mask.length; v++) {
    if (mask[v] === 0) continue;
    const p = apply(toFrame, [positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!]);
    const n = rotate(toFrame, [surface.normals[3 * v]!, surface.normals[3 * v + 1]!, surface.normals[3 * v + 2]!]);
    // In units of 20 mm, so that the equations are well scaled.
    const x = p[0] / 20;
    const y = p[1] / 20;
    const powers = (base: number) => [1, base, base * base, base * base * base];
    const [px, py] = [powers(x), powers(y)];
    rows.push({ terms: TERMS.map(([i, j]) => px[i]! * py[j]!), z: p[2], slant: Math.abs(n[2]) });
  }
  const matrix = Matrix.zeros(TERMS.length, TERMS.length);
  const right = Matrix.zeros(TERMS.length, 1);
  for (const { terms, z } of rows) {
    for (let i = 0; i < TERMS.length; i++) {
      right.set(i, 0, right.get(i, 0) + terms[i]! * z);
      for (let j = 0; j < TERMS.length; j++) matrix.set(i, j, matrix.get(i, j) + terms[i]! * terms[j]!);
    }
  }
  const cholesky = new CholeskyDecomposition(matrix);
  if (rows.length < TERMS.length || !cholesky.isPositiveDefinite()) return Number.NaN;
  const coefficients = cholesky.solve(right).to1DArray();
  let squares = 0;
  for (const { terms, z, slant } of rows) {
    // The height above the smooth surface, times the slant, is about the distance from it.
    const height = slant * (z - terms.reduce((sum, term, i) => sum + term * coefficients[i]!, 0));
    squares += height * height;
  }
  return Math.sqrt(squares / rows.length);
}
