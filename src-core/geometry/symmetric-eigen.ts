import { EigenvalueDecomposition, Matrix } from "ml-matrix";

/** Eigenvalues of a symmetric matrix, ascending, and the unit eigenvector of each. */
export interface SymmetricEigen {
  readonly values: readonly number[];
  readonly vectors: readonly (readonly number[])[];
}

/** Beside the largest entry; far below the square of the last place of a double. */
const NEGLIGIBLE = 1e-60;

/**
 * Eigenvalues (ascending) and eigenvectors of a symmetric n×n matrix given as rows.
 * A vector's sign is free; here its component of largest size is positive, so that equal input gives equal output.
 * Householder and QL by ml-matrix, which uses sqrt only (Golub & Van Loan, Matrix Computations, 8.3).
 */
export function symmetricEigen(rows: readonly (readonly number[])[]): SymmetricEigen {
  const largest = rows.reduce((most, row) => row.reduce((m, value) => Math.max(m, Math.abs(value)), most), 0);
  // Entries so small that they cannot matter would underflow on the way and stop the iteration.
  const smallest = largest * NEGLIGIBLE;
  const entries = rows.map((row) => row.map((value) => (Math.abs(value) < smallest ? 0 : value)));
  const evd = new EigenvalueDecomposition(new Matrix(entries), { assumeSymmetric: true });
  const order = evd.realEigenvalues.map((value, column) => ({ value, column })).sort((a, b) => a.value - b.value);
  return {
    values: order.map((e) => e.value),
    vectors: order.map((e) => withPositiveLead(evd.eigenvectorMatrix.getColumn(e.column))),
  };
}

function withPositiveLead(vector: number[]): number[] {
  let lead = 0;
  for (const v of vector) if (Math.abs(v) > Math.abs(lead)) lead = v;
  return lead < 0 ? vector.map((v) => -v) : vector;
}
