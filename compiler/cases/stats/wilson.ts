/** A count out of a total with its interval; shares are fractions of 1. */
export interface Share {
  readonly count: number
  readonly of: number
  readonly share: number
  readonly low: number
  readonly high: number
}

/** Standard normal quantile of 0.975: two-sided 95 %. */
export const Z95 = 1.959963984540054

/**
 * Wilson's score interval for a proportion, at 95 % unless another normal quantile is given. Holds its level for small
 * counts and for shares near 0 and 1, where the textbook interval does not (R. G. Newcombe, Statistics in Medicine 17, 1998).
 * Of nothing, nothing is known: 0 of 0 gives 0 to 1.
 */
export function wilson(count: number, of: number, z: number = Z95): Share {
  if (of <= 0) return { count, of, share: 0, low: 0, high: 1 }
  const p = count / of
  const zz = z * z
  const middle = 2 * count + zz
  const reach = z * Math.sqrt(zz + 4 * count * (1 - p))
  const scale = 2 * (of + zz)
  return {
    count,
    of,
    share: p,
    low: count === 0 ? 0 : Math.max(0, (middle - reach) / scale),
    high: count === of ? 1 : Math.min(1, (middle + reach) / scale),
  }
}
