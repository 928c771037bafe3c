import { floatAt, itemAt } from "../run/lookup.ts"

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
    const priceF = itemAt(price, f)
    const priceG = itemAt(price, g)
    let length = 0
    for (let s = 0; s < parting.length; s++) {
      const each = floatAt(parting, s)
      if (each > 0) length += each * Math.min(floatAt(priceF, s), floatAt(priceG, s))
    }
    return length
  }
  const cheaper = ({ f, g }: Pair, s: number) =>
    floatAt(itemAt(price, f), s) <= floatAt(itemAt(price, g), s) ? f : g
  let total = 0
  let limit = Math.min(...asking.map((pair) => lengthOf(pair) / pair.sure))
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    for (const pair of asking) {
      if (lengthOf(pair) / pair.sure > limit * (1 + FINENESS)) continue
      const { parting, rate, sure } = pair
      let units = rate
      for (let s = 0; s < parting.length; s++) {
        const each = floatAt(parting, s)
        if (each > 0) units = Math.min(units, floatAt(itemAt(budgets, cheaper(pair, s)), s) / each)
      }
      total += units * sure
      for (let s = 0; s < parting.length; s++) {
        const each = floatAt(parting, s)
        if (each === 0) continue
        const at = cheaper(pair, s)
        const taken = itemAt(used, at)
        const prices = itemAt(price, at)
        taken[s] = floatAt(taken, s) + units * each
        prices[s] = floatAt(prices, s) * (1 + (FINENESS * units * each) / floatAt(itemAt(budgets, at), s))
      }
    }
    limit *= 1 + FINENESS / 4
  }
  let load = 0
  used.forEach((row, f) => {
    const budget = itemAt(budgets, f)
    row.forEach((each, s) => {
      if (each > 0) load = Math.max(load, each / floatAt(budget, s))
    })
  })
  if (load === 0) return 0
  const left = budgets.map((row, f) => {
    const taken = itemAt(used, f)
    return row.map((each, s) => Math.max(0, each - floatAt(taken, s) / load))
  })
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
      itemAt(taken, f).forEach((each, s) => {
        row[s] = Math.max(0, floatAt(row, s) - each)
      })
    })
  }
  return total
}

function askingOf(pairs: readonly Pair[], budgets: Budgets): Asking[] {
  return pairs.flatMap((pair) => {
    const ofF = itemAt(budgets, pair.f)
    const ofG = itemAt(budgets, pair.g)
    let rate = Number.POSITIVE_INFINITY
    pair.parting.forEach((each, s) => {
      if (each > 0) rate = Math.min(rate, (floatAt(ofF, s) + floatAt(ofG, s)) / each)
    })
    return rate > 1e-9 && rate < Number.POSITIVE_INFINITY ? [{ ...pair, rate }] : []
  })
}

/** Adds what a pair takes from both budgets of each step for so many units, in proportion to what is left of them. */
function share({ f, g, parting }: Pair, to: Budgets, left: Budgets, units: number): void {
  const leftF = itemAt(left, f)
  const leftG = itemAt(left, g)
  const toF = itemAt(to, f)
  const toG = itemAt(to, g)
  parting.forEach((asked, s) => {
    const both = floatAt(leftF, s) + floatAt(leftG, s)
    if (asked === 0 || both === 0) return
    const each = (asked * units) / both
    toF[s] = floatAt(toF, s) + each * floatAt(leftF, s)
    toG[s] = floatAt(toG, s) + each * floatAt(leftG, s)
  })
}

/** The part of its rate that a pair gets where all that is asked is granted alike. */
function least({ f, g, parting }: Pair, left: Budgets, asked: Budgets): number {
  let least = Number.POSITIVE_INFINITY
  for (const [s, each] of parting.entries()) {
    if (each === 0) continue
    const granted = [f, g].map((at) => ({
      left: floatAt(itemAt(left, at), s),
      asked: floatAt(itemAt(asked, at), s),
    }))
    if (granted.every((row) => row.left === 0)) return 0
    for (const row of granted) if (row.asked > 0) least = Math.min(least, row.left / row.asked)
  }
  return least === Number.POSITIVE_INFINITY ? 0 : least
}
