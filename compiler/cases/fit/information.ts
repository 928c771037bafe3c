/**
 * What cases tell of each number: a share with its interval. Where what was counted is hidden in part, a count is worth
 * less than its size: the information that the cases hold is the sum of the squares of what each says of the numbers (its
 * score; R. A. Fisher, and I. Meilijson, Journal of the Royal Statistical Society B 51, 1989), and the interval is that of
 * as many observations in plain sight as would tell as much.
 */
import { addTo, at } from "../../run/lookup.ts"
import { inverse } from "../stats/inverse.ts"
import { type Share, wilson } from "../stats/wilson.ts"
import { type Estimate, sum } from "./counts.ts"
import { countsOf, eachCase, errorInSight, hiddenUnits, type TiedNumber, type Unit } from "./hidden-units.ts"
import type { Histories } from "./histories.ts"
import { oddsShares } from "./odds.ts"
import type { Values } from "./parameter-values.ts"
import type { Parameters } from "./parameters.ts"

/** Shares as the cases alone have them. */
export interface Known {
  readonly odds: readonly Share[]
  /** Of one fault, two faults, and something not listed. */
  readonly states: readonly Share[]
  /** By group, by category. */
  readonly groups: readonly (readonly Share[])[]
  readonly rates: readonly Share[]
  readonly ties: readonly Tie[]
}

/** Numbers of which the cases tell only what they come to together; or a single one of which they tell next to nothing. */
export type Tie = readonly TiedNumber[]

/** Keeps what the cases do not tell at all from being divided by nothing. */
const RIDGE = 1e-5
/** Where observations are worth less than this part of their number, they tell next to nothing. */
const NOTHING = 0.03
const FEWEST = 5
/** Errors that go together like this are those of one number. */
const TOGETHER = 0.9

export function knownFrom(parameters: Parameters, histories: Histories, alone: Estimate): Known {
  const { values, counts } = alone
  const units = hiddenUnits(parameters, histories, alone)
  const worth = new Worth(parameters, histories, values, units)
  const confirmed = sum(counts.odds)
  return {
    odds: Array.from(oddsShares(counts, values.odds, 0), (share) => wilson(share * confirmed, confirmed)),
    states: Array.from(counts.states, (n) => wilson(n, sum(counts.states))),
    groups: counts.groups.map((all, g) =>
      Array.from(all, (n, k) => worth.share("groups", g, k, wilson(n, sum(all)))),
    ),
    rates: Array.from(counts.could, (could, r) =>
      worth.share("rates", r, 0, wilson(counts.did[r] ?? 0, could)),
    ),
    ties: worth.ties,
  }
}

/** What an observation of each number is worth, of one in plain sight. */
class Worth {
  readonly ties: readonly Tie[]
  /** By index, by category. */
  readonly #parts = {
    rates: new Map<number, readonly number[]>(),
    groups: new Map<number, readonly number[]>(),
  }

  constructor(parameters: Parameters, histories: Histories, values: Values, units: readonly Unit[]) {
    const spread = spreadOf(parameters, histories, values, units)
    const untold = units.filter((unit) => {
      const parts = partsOf(unit, spread)
      const all: number[] = []
      for (const [i, k] of unit.categories.entries()) all[k] = at(parts, i)
      this.#parts[unit.list].set(unit.index, all)
      return unit.of >= FEWEST && Math.min(...parts) < NOTHING
    })
    this.ties = tiesOf(untold, spread)
  }

  /** What was counted, with the interval of what it is worth. */
  share(list: Unit["list"], index: number, category: number, counted: Share): Share {
    const part = this.#parts[list].get(index)?.[category] ?? 1
    const { low, high } = wilson(counted.count * part, counted.of * part)
    return { ...counted, low, high }
  }
}

/**
 * How the errors of all coordinates go together: the inverse of the information. Coordinates are logarithms of the
 * chances over the last one, each in units of the error that it would have if everything were seen.
 */
function spreadOf(
  parameters: Parameters,
  histories: Histories,
  values: Values,
  units: readonly Unit[],
): Float64Array[] {
  const scales = units.flatMap(({ chances, of }) => chances.map((p) => errorInSight(p, of)))
  const information = scales.map((_, i) => {
    const row = new Float64Array(scales.length)
    row[i] = RIDGE
    return row
  })
  eachCase(parameters, histories, values, histories.cases.times, (counts, often) => {
    const score: { readonly at: number; readonly of: number }[] = []
    for (const unit of units) {
      const all = countsOf(unit, counts)
      const n = sum(all)
      if (n > 0)
        unit.chances.forEach((p, i) => {
          const at = unit.at + i
          score.push({ at, of: ((all[i] ?? 0) - n * p) * (scales[at] ?? 0) })
        })
    }
    for (const a of score) for (const b of score) addTo(at(information, a.at), b.at, often * a.of * b.of)
  })
  return inverse(information)
}

/** By category of a unit: its observations in plain sight that would tell as much, over those that there are. */
function partsOf({ chances, of, at }: Unit, spread: readonly Float64Array[]): number[] {
  const last = 1 - chances.reduce((sum, p) => sum + p, 0)
  return [...chances, last].map((p, k) => {
    // How the chance moves with each coordinate.
    const slopes = chances.map((q, j) => (j === k ? p * (1 - p) : -p * q) * errorInSight(q, of))
    let variance = 0
    for (const [i, a] of slopes.entries())
      for (const [j, b] of slopes.entries()) variance += a * b * (spread[at + i]?.[at + j] ?? 0)
    return Math.min(1, (p * (1 - p)) / variance / of)
  })
}

/** Numbers of which nothing is told, those whose errors go together in one list. */
function tiesOf(untold: readonly Unit[], spread: readonly Float64Array[]): Tie[] {
  const between = (i: number, j: number) => spread[i]?.[j] ?? 0
  const isTied = (a: Unit, b: Unit) =>
    a.chances.some((_, i) =>
      b.chances.some((__, j) => {
        const [x, y] = [a.at + i, b.at + j]
        return Math.abs(between(x, y)) > TOGETHER * Math.sqrt(between(x, x) * between(y, y))
      }),
    )
  const left = new Set(untold)
  const ties: Tie[] = []
  for (const unit of untold) {
    if (!left.delete(unit)) continue
    const tie = [unit]
    for (const member of tie)
      for (const other of left) {
        if (!isTied(member, other)) continue
        left.delete(other)
        tie.push(other)
      }
    ties.push(tie.map(({ named }) => named))
  }
  return ties
}
