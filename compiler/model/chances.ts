import { type CutDomain, cellsIn } from "./cells.ts"
import { add, compare, type Fraction, subtract, toNumber, whole } from "./fraction.ts"
import { complement, intersection, type Runs, size, union } from "./runs.ts"

/** `SHARE of the chance lies on these values`, evenly by base measure. */
export interface Share {
  readonly runs: Runs
  /** Fraction of 1. */
  readonly chance: Fraction
}

export type ShareFault =
  | { readonly kind: "empty"; readonly share: number }
  | { readonly kind: "overlap"; readonly share: number; readonly with: number }
  | { readonly kind: "beyond"; readonly share: number; readonly sum: Fraction }
  | { readonly kind: "short"; readonly sum: Fraction }

/**
 * What keeps shares from being a distribution over `count` values (semantics.md, "Chances"): a share on no value, two
 * that overlap, a sum above 1, or a sum below 1 with no value left to take the rest. The first such, or undefined.
 */
export function unsound(shares: readonly Share[], count: number): ShareFault | undefined {
  let covered: Runs = []
  let sum = whole(0)
  for (const [i, share] of shares.entries()) {
    if (share.runs.length === 0) return { kind: "empty", share: i }
    if (intersection(covered, share.runs).length > 0) {
      const other = shares.findIndex((earlier) => intersection(earlier.runs, share.runs).length > 0)
      return { kind: "overlap", share: i, with: other }
    }
    covered = union(covered, share.runs)
    sum = add(sum, share.chance)
    if (compare(sum, whole(1)) > 0) return { kind: "beyond", share: i, sum }
  }
  return size(covered) === count && compare(sum, whole(1)) < 0 ? { kind: "short", sum } : undefined
}

/**
 * The distribution over the cells that sound shares describe: each spread by base measure, and what is left of 1 on
 * the values that none covers. No share at all gives the base measure. Shape: one chance per cell, summing to 1.
 */
export function distribution(shares: readonly Share[], cut: CutDomain): Float64Array {
  const { cells, domain } = cut
  const chances = new Float64Array(cells.length)
  const spread = (runs: Runs, chance: number): void => {
    const values = size(runs)
    cellsIn(cut, runs).forEach((held, i) => {
      if (held) chances[i]! += (chance * cells[i]!.weight) / values
    })
  }
  let covered: Runs = []
  let rest = whole(1)
  for (const { runs, chance } of shares) {
    spread(runs, toNumber(chance))
    covered = union(covered, runs)
    rest = subtract(rest, chance)
  }
  spread(complement(covered, domain.count), toNumber(rest))
  return chances
}

/** An owner's account that holds with chance `trust` and else says anything: `trust` of it, the rest by base measure. */
export function taken(chances: Float64Array, trust: number, cut: CutDomain): Float64Array {
  return chances.map((chance, i) => trust * chance + ((1 - trust) * cut.cells[i]!.weight) / cut.domain.count)
}
