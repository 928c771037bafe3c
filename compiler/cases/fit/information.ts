/**
 * What cases tell of each number: a share with its interval. Where what was counted is hidden in part, a count is worth
 * less than its size: the information that the cases hold is the sum of the squares of what each says of the numbers (its
 * score; R. A. Fisher, and I. Meilijson, Journal of the Royal Statistical Society B 51, 1989), and the interval is that of
 * as many observations in plain sight as would tell as much.
 */
import { addTo, at } from "../../run/lookup.ts"
import { inverse } from "../stats/inverse.ts"
import { type Share, wilson } from "../stats/wilson.ts"
import { type Counts, type Estimate, sum } from "./counts.ts"
import { Counting } from "./estimate.ts"
import type { Histories } from "./histories.ts"
import { oddsShares } from "./odds.ts"
import { type Values, written } from "./parameter-values.ts"
import { isFree, type Parameters, type RateKind } from "./parameters.ts"

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

export interface TiedNumber {
  readonly kind: "shows" | "normally" | RateKind
  /** As in `NumberChange`. */
  readonly name: string
}

/** A chance that stands alone, or all that one fault or a healthy machine shows of one reading. */
interface Unit {
  readonly named: TiedNumber
  readonly list: "rates" | "groups"
  /** In that list of the parameters. */
  readonly index: number
  /** By category but the last: its chance among those that are free. A rate has one. */
  readonly chances: readonly number[]
  /** Categories of the group, in the order of the chances. */
  readonly categories: readonly number[]
  /** Observations, hidden ones by their chance. */
  readonly of: number
  /** Of its first coordinate. */
  readonly at: number
}

/** Before it has a place among the coordinates. */
type Candidate = Omit<Unit, "at">

/** Counts of which less than this is hidden are taken as seen. */
const SEEN = 0.005
/** Of more numbers, those of which most is hidden are looked into. */
const MOST = 400
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
      Array.from(all, (n, k) => shareWorth(n, sum(all), worth.of("groups", g, k))),
    ),
    rates: Array.from(counts.could, (could, r) =>
      shareWorth(counts.did[r] ?? 0, could, worth.of("rates", r)),
    ),
    ties: worth.ties,
  }
}

/** A count of which each observation is worth only a part of one that is seen. */
function shareWorth(count: number, of: number, part: number): Share {
  const { low, high } = wilson(count * part, of * part)
  return { ...wilson(count, of), low, high }
}

/** Those with counts that are hidden in part, by the sample of the cases. */
function hiddenUnits(parameters: Parameters, histories: Histories, { values, counts }: Estimate): Unit[] {
  const hidden = new HiddenParts(parameters, histories, values)
  const candidates = [
    ...rateUnits(parameters, values, counts),
    ...groupUnits(parameters, written(parameters), values, counts),
  ]
  const units: Unit[] = []
  let coordinates = 0
  for (const unit of candidates.sort((a, b) => hidden.of(b) - hidden.of(a))) {
    if (hidden.of(unit) < SEEN || coordinates + unit.chances.length > MOST) break
    units.push({ ...unit, at: coordinates })
    coordinates += unit.chances.length
  }
  return units
}

function rateUnits({ rates }: Parameters, values: Values, { could }: Counts): Candidate[] {
  return rates.flatMap(({ kind, name, chance }, index): Candidate[] => {
    const of = at(could, index)
    if (!isFree(chance) || of <= 0) return []
    const chances = [at(values.rates, index)]
    return [{ named: { kind, name }, list: "rates", index, chances, categories: [0], of }]
  })
}

function groupUnits({ groups }: Parameters, author: Values, values: Values, counts: Counts): Candidate[] {
  return groups.flatMap(({ kind, name }, index): Candidate[] => {
    const written = at(author.groups, index)
    const categories = [...written.keys()].filter((k) => isFree(at(written, k)))
    const all = categories.map((k) => at(at(values.groups, index), k))
    const whole = all.reduce((sum, chance) => sum + chance, 0)
    const of = categories.reduce((sum, k) => sum + at(at(counts.groups, index), k), 0)
    if (categories.length < 2 || of === 0) return []
    const chances = all.slice(0, -1).map((chance) => chance / whole)
    return [{ named: { kind, name }, list: "groups", index, chances, categories, of }]
  })
}

/** What one case counts for a unit: by category, or how often it could have happened and did. */
function countsOf({ list, index, categories }: Unit, { could, did, groups }: Counts): number[] {
  if (list === "rates") return [at(did, index), at(could, index) - at(did, index)]
  return categories.map((k) => at(at(groups, index), k))
}

/** How much of the counts is broken: something that a record does not show. */
class HiddenParts {
  readonly #broken: { readonly groups: Float64Array; readonly rates: Float64Array }
  readonly #all: { readonly groups: Float64Array; readonly rates: Float64Array }

  constructor(parameters: Parameters, histories: Histories, values: Values) {
    const none = () => ({
      groups: new Float64Array(parameters.groups.length),
      rates: new Float64Array(parameters.rates.length),
    })
    this.#broken = none()
    this.#all = none()
    const broken = (n: number) => Math.abs(n - Math.round(n))
    eachCase(parameters, histories, values, histories.cases.sampleTimes, ({ groups, could, did }, often) => {
      groups.forEach((all, g) => {
        for (const n of all) {
          addTo(this.#broken.groups, g, often * broken(n))
          addTo(this.#all.groups, g, often * n)
        }
      })
      could.forEach((n, r) => {
        addTo(this.#broken.rates, r, often * (broken(n) + broken(did[r] ?? 0)))
        addTo(this.#all.rates, r, often * n)
      })
    })
  }

  of({ list, index }: Candidate): number {
    const all = at(this.#all[list], index)
    return all > 0 ? at(this.#broken[list], index) / all : 0
  }
}

/** Calls back with what each distinct case counts, by itself; the counts are written over afterwards. */
function eachCase(
  parameters: Parameters,
  histories: Histories,
  values: Values,
  times: Float64Array,
  use: (counts: Counts, often: number) => void,
): void {
  const counting = new Counting(parameters, values)
  const { odds, states, could, did, groups } = counting.counts
  times.forEach((often, at) => {
    if (often === 0) return
    for (const each of [odds, states, could, did, ...groups]) each.fill(0)
    counting.add(histories.of(at), 1)
    use(counting.counts, often)
  })
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

  of(list: Unit["list"], index: number, category = 0): number {
    return this.#parts[list].get(index)?.[category] ?? 1
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

/** Of the logarithm of a chance over the rest, if all observations were in plain sight. */
function errorInSight(chance: number, of: number): number {
  return 1 / Math.sqrt(of * chance * (1 - chance))
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
