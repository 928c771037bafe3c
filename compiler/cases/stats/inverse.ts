import { at } from "../../run/lookup.ts"

/** The inverse of a symmetric positive definite matrix, row by row, by A. Cholesky's decomposition (G. Golub, C. Van Loan, Matrix Computations, 4.2). */
export function inverse(matrix: readonly Float64Array[]): Float64Array[] {
  const lower = lowerTriangle(matrix)
  return matrix.map((_, column) => solve(lower, column))
}

function lowerTriangle(matrix: readonly Float64Array[]): Float64Array[] {
  const n = matrix.length
  const lower = matrix.map(() => new Float64Array(n))
  for (let j = 0; j < n; j++) {
    for (let i = j; i < n; i++) {
      let sum = entry(matrix, i, j)
      for (let k = 0; k < j; k++) sum -= entry(lower, i, k) * entry(lower, j, k)
      at(lower, i)[j] = i === j ? Math.sqrt(sum) : sum / entry(lower, j, j)
    }
  }
  return lower
}

/** The column of the inverse: forward substitution, then backward. */
function solve(lower: readonly Float64Array[], column: number): Float64Array {
  const n = lower.length
  const x = new Float64Array(n)
  for (let i = column; i < n; i++) {
    let sum = i === column ? 1 : 0
    for (let k = column; k < i; k++) sum -= entry(lower, i, k) * at(x, k)
    x[i] = sum / entry(lower, i, i)
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = at(x, i)
    for (let k = i + 1; k < n; k++) sum -= entry(lower, k, i) * at(x, k)
    x[i] = sum / entry(lower, i, i)
  }
  return x
}

function entry(rows: readonly Float64Array[], i: number, j: number): number {
  return at(at(rows, i), j)
}
