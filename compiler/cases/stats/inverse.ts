/** The inverse of a symmetric positive definite matrix, row by row, by A. Cholesky's decomposition (G. Golub, C. Van Loan, Matrix Computations, 4.2). */
export function inverse(matrix: readonly Float64Array[]): Float64Array[] {
  const n = matrix.length
  const lower = matrix.map(() => new Float64Array(n))
  const at = (rows: readonly Float64Array[], i: number, j: number) => rows[i]?.[j] ?? 0
  for (let j = 0; j < n; j++) {
    for (let i = j; i < n; i++) {
      let sum = at(matrix, i, j)
      for (let k = 0; k < j; k++) sum -= at(lower, i, k) * at(lower, j, k)
      lower[i]![j] = i === j ? Math.sqrt(sum) : sum / at(lower, j, j)
    }
  }
  const columns = matrix.map((_, column) => {
    const x = new Float64Array(n)
    for (let i = column; i < n; i++) {
      let sum = i === column ? 1 : 0
      for (let k = column; k < i; k++) sum -= at(lower, i, k) * x[k]!
      x[i] = sum / at(lower, i, i)
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = x[i]!
      for (let k = i + 1; k < n; k++) sum -= at(lower, k, i) * x[k]!
      x[i] = sum / at(lower, i, i)
    }
    return x
  })
  return columns
}
