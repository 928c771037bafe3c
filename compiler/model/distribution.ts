import { addTo, at } from "../run/lookup.ts"
import { type CutDomain, cellIntervals } from "./cells.ts"
import { add, compare, type Fraction, subtract, toNumber, whole } from "./fraction.ts"
import { complement, type Intervals, normalized, size } from "./intervals.ts"

/** `SHARE of the chance lies on these values`, evenly by base measure. */
export interface Share {
  readonly intervals: Intervals
  /** Fraction of 1. */
  readonly chance: Fraction
}

export type ShareError =
  | { readonly kind: "empty"; readonly share: number }
  | { readonly kind: "overlap"; readonly share: number; readonly with: number }
  | { readonly kind: "beyond"; readonly share: number; readonly sum: Fraction }
  | { readonly kind: "short"; readonly sum: Fraction }

/**
 * What keeps shares from being a distribution over `count` values (the reference's formulas.md, "Readings"): a share on no value, two
 * that overlap, a sum above 1, or a sum below 1 with no value left to take the rest. One such, or undefined.
 */
export function distributionError(shares: readonly Share[], count: number): ShareError | undefined {
  const empty = shares.findIndex(({ intervals }) => intervals.length === 0)
  if (empty >= 0) return { kind: "empty", share: empty }
  const intervals = shares.flatMap((share, i) =>
    share.intervals.map(([first, last]) => ({ first, last, share: i })),
  )
  intervals.sort((a, b) => a.first - b.first)
  for (let i = 1; i < intervals.length; i++) {
    const [before, run] = [at(intervals, i - 1), at(intervals, i)]
    if (run.first > before.last) continue
    const [first, second] = before.share < run.share ? [before, run] : [run, before]
    return { kind: "overlap", share: second.share, with: first.share }
  }
  let sum = whole(0)
  for (const [i, share] of shares.entries()) {
    sum = add(sum, share.chance)
    if (compare(sum, whole(1)) > 0) return { kind: "beyond", share: i, sum }
  }
  const covered = intervals.reduce((values, { first, last }) => values + last - first + 1, 0)
  return covered === count && compare(sum, whole(1)) < 0 ? { kind: "short", sum } : undefined
}

/**
 * The distribution over the cells that sound shares describe: each spread by base measure, and what is left of 1 on
 * the values that none covers. No share at all gives the base measure. Shape: one chance per cell, summing to 1.
 */
export function distribution(shares: readonly Share[], cut: CutDomain): Float64Array {
  const chances = new Float64Array(cut.cells.length)
  const spread = (intervals: Intervals, chance: number): void => {
    const values = size(intervals)
    for (const [from, to] of cellIntervals(cut, intervals)) {
      for (const [i, { weight }] of cut.cells.slice(from, to + 1).entries())
        addTo(chances, from + i, (chance * weight) / values)
    }
  }
  for (const { intervals, chance } of shares) spread(intervals, toNumber(chance))
  const rest = shares.reduce((left, { chance }) => subtract(left, chance), whole(1))
  const covered = normalized(shares.flatMap(({ intervals }) => intervals))
  spread(complement(covered, cut.domain.count), toNumber(rest))
  return chances
}
