/**
 * Exact McNemar test of paired yes-or-no outcomes: the chance, if nothing had changed, of a split of the cases that
 * changed at least as uneven as `gained` against `lost`; two-sided, doubled from the smaller tail of the binomial of
 * one half. Q. McNemar, Psychometrika 12, 1947; exact form: A. Agresti, Categorical Data Analysis, 3rd ed., 2013, 11.1.
 */
export function mcnemar(gained: number, lost: number): number {
  const n = gained + lost
  const k = Math.min(gained, lost)
  if (2 * k >= n) return 1
  // In logarithms, since one half to the power of a thousand cases is below what a number holds.
  let log = -n * Math.LN2
  for (let i = 0; i < k; i++) log += Math.log((n - i) / (i + 1))
  let tail = 1
  for (let i = k, term = 1; i > 0; i--) {
    term *= i / (n - i + 1)
    tail += term
  }
  return Math.min(1, 2 * tail * Math.exp(log))
}
