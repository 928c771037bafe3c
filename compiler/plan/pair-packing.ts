/** Two hypotheses that a policy must part, or it does in one what only the other needs. */
export interface Pair {
  readonly f: number
  readonly g: number
  /** What each unit of the pair counts. */
  readonly sure: number
  /** By step: what it takes of the budgets of both together for each unit. */
  readonly parting: Float64Array
}

/** By hypothesis, by step: money. */
type Budgets = readonly Float64Array[]

interface Asking extends Pair {
  /** What the pair could take if it were alone. */
  readonly rate: number
}

/** Rounds in which what is left is filled up. */
const ROUNDS = 8

/** How finely prices are raised, and how often all pairs are gone through. */
const FINENESS = 0.15
const SWEEPS = 400

/**
 * How much can be packed at least: so many units for each pair that at each step its two budgets hold what all pairs
 * take. Pairs take units in turn, each from the cheaper budget, the dearer the more it is used (Garg and Könemann 2007,
 * Fleischer 2000); then all is scaled to what the budgets hold, and what is left is filled up.
 */
export function pack(pairs: readonly Pair[], budgets: Budgets): number {
  const asking = askingOf(pairs, budgets)
  if (asking.length === 0) return 0
  const price = budgets.map((row) => row.map((each) => (each > 0 ? 1 / each : Number.POSITIVE_INFINITY)))
  const used = budgets.map((row) => new Float64Array(row.length))
  const lengthOf = ({ f, g, parting }: Asking) => {
    let length = 0
    for (let s = 0; s < parting.length; s++)
      if (parting[s]! > 0) length += parting[s]! * Math.min(price[f]![s]!, price[g]![s]!)
    return length
  }
  let total = 0
  let limit = Math.min(...asking.map((pair) => lengthOf(pair) / pair.sure))
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    for (const pair of asking) {
      if (lengthOf(pair) / pair.sure > limit * (1 + FINENESS)) continue
      const { f, g, parting, rate, sure } = pair
      let units = rate
      for (let s = 0; s < parting.length; s++) {
        if (parting[s] === 0) continue
        const at = price[f]![s]! <= price[g]![s]! ? f : g
        units = Math.min(units, budgets[at]![s]! / parting[s]!)
      }
      total += units * sure
      for (let s = 0; s < parting.length; s++) {
        if (parting[s] === 0) continue
        const at = price[f]![s]! <= price[g]![s]! ? f : g
        used[at]![s]! += units * parting[s]!
        price[at]![s]! *= 1 + (FINENESS * units * parting[s]!) / budgets[at]![s]!
      }
    }
    limit *= 1 + FINENESS / 4
  }
  let load = 0
  budgets.forEach((row, f) => {
    row.forEach((each, s) => {
      if (used[f]![s]! > 0) load = Math.max(load, used[f]![s]! / each)
    })
  })
  if (load === 0) return 0
  const left = budgets.map((row, f) => row.map((each, s) => Math.max(0, each - used[f]![s]! / load)))
  return total / load + fill(pairs, left)
}

/** Packs in rounds: in each every pair takes its part of what is left, as all can at once. */
function fill(pairs: readonly Pair[], budgets: Budgets): number {
  const left = budgets.map((row) => row.slice())
  const asking = askingOf(pairs, left)
  let total = 0
  for (let round = 0; round < ROUNDS; round++) {
    const asked = left.map((row) => new Float64Array(row.length))
    for (const pair of asking) share(pair, asked, left, pair.rate)
    const taken = left.map((row) => new Float64Array(row.length))
    for (const pair of asking) {
      const units = pair.rate * least(pair, left, asked)
      total += units * pair.sure
      if (units > 0) share(pair, taken, left, units)
    }
    left.forEach((row, f) => {
      for (let s = 0; s < row.length; s++) row[s] = Math.max(0, row[s]! - taken[f]![s]!)
    })
  }
  return total
}

function askingOf(pairs: readonly Pair[], budgets: Budgets): Asking[] {
  return pairs.flatMap((pair) => {
    let rate = Number.POSITIVE_INFINITY
    for (let s = 0; s < pair.parting.length; s++)
      if (pair.parting[s]! > 0)
        rate = Math.min(rate, (budgets[pair.f]![s]! + budgets[pair.g]![s]!) / pair.parting[s]!)
    return rate > 1e-9 && rate < Number.POSITIVE_INFINITY ? [{ ...pair, rate }] : []
  })
}

/** Adds what a pair takes from both budgets of each step for so many units, in proportion to what is left of them. */
function share({ f, g, parting }: Pair, to: Budgets, left: Budgets, units: number): void {
  for (let s = 0; s < parting.length; s++) {
    const both = left[f]![s]! + left[g]![s]!
    if (parting[s]! === 0 || both === 0) continue
    const each = (parting[s]! * units) / both
    to[f]![s]! += each * left[f]![s]!
    to[g]![s]! += each * left[g]![s]!
  }
}

/** The part of its rate that a pair gets where all that is asked is granted alike. */
function least({ f, g, parting }: Pair, left: Budgets, asked: Budgets): number {
  let least = Number.POSITIVE_INFINITY
  for (let s = 0; s < parting.length; s++) {
    if (parting[s]! === 0) continue
    if (left[f]![s]! + left[g]![s]! === 0) return 0
    if (asked[f]![s]! > 0) least = Math.min(least, left[f]![s]! / asked[f]![s]!)
    if (asked[g]![s]! > 0) least = Math.min(least, left[g]![s]! / asked[g]![s]!)
  }
  return least === Number.POSITIVE_INFINITY ? 0 : least
}
