import { type Eliminations, indexesWhere, type Sides } from "./elimination.ts"
import type { Change, Problem } from "./problem.ts"
import { isFitted, type State } from "./state.ts"
import { TRUST_SLACK } from "./stop.ts"

/** Costs, at least, of what a path may need from a state on; Infinity where nothing will do. */
export interface Cover {
  /** The cheapest action of all. */
  readonly cheapest: number
  /** Making the remedy of place g believed. */
  costOf(g: number): number
  redoCost(setup: number): number
  swapCost(part: number): number
}

/** Rounds of looking for a set of suspects that is harder to get rid of. */
const ROUNDS = 3

/**
 * What it costs at least to make a remedy believed. With weight m on place g, the weight W of any set S of the others
 * must fall to m (1 − trust) / trust. An action takes from S at most its greatest elimination over its outcomes
 * (elimination.ts), and 1 − Π(1 − e) ≤ Σ e, so the least cost is at least that of the fractional knapsack which covers
 * the loss (Dantzig 1957). Every S gives a bound; beginning with all others, each round keeps those that the round
 * before left nearly untouched. A put back needs its swap before it; the two are one item where the second alone would
 * be the better bargain.
 */
export function makeCover(
  problem: Problem,
  eliminations: Eliminations,
): (state: State, mass: Float64Array, failure: number) => Cover {
  const { faults, tests, trust } = problem
  const places = problem.price.length
  /** By place: the tests that redo it and those that swap it, the cheapest first. */
  const cheapestFirst = (holds: (work: Change, place: number) => boolean) =>
    problem.model.places.map((_, place) =>
      indexesWhere(tests, (t) => {
        const work = problem.work[t]!
        return work.kind === "change" && holds(work, place)
      }).sort((a, b) => problem.work[a]!.cost - problem.work[b]!.cost),
    )
  const redoings = cheapestFirst((work, setup) => work.cures[setup]! > 0)
  const swaps = cheapestFirst((work, part) => work.part === part)
  const allowed: number[] = []
  const isOff = new Uint8Array(2 * faults)
  const set = new Int32Array(2 * faults)
  const price = new Float64Array(2 * tests)
  const gain = new Float64Array(2 * tests)
  const row = new Int32Array(2 * tests)
  const share = new Float64Array(2 * tests)

  return (state, mass, failure) => {
    const { ids, weights, used, fitted } = state
    allowed.length = 0
    let cheapest = Number.POSITIVE_INFINITY
    for (let t = 0; t < tests; t++) {
      const work = problem.work[t]!
      const isIn = fitted.includes(t)
      if (!used[t]) allowed.push(t)
      if (work.kind === "change" && work.part >= 0 && (!used[t] || isIn)) allowed.push(tests + t)
      if (!used[t] || isIn) cheapest = Math.min(cheapest, work.cost)
    }
    for (let k = 0; k < ids.length; k++) {
      const h = ids[k]!
      isOff[h] = h >= faults || (fitted.length > 0 && isFitted(problem, state, problem.place[h]!)) ? 1 : 0
    }

    const cheapestOf = (changes: readonly number[], mayPutBack: boolean): number => {
      for (const t of changes) {
        const { part, cost } = problem.work[t] as Change
        if (!used[t] || (mayPutBack && part >= 0 && fitted.includes(t))) return cost
      }
      return Number.POSITIVE_INFINITY
    }
    const swapCost = (part: number) => cheapestOf(swaps[part]!, false)

    /** Greatest elimination of each action over its outcomes, for the first `size` of `set`. */
    const weigh = (g: number, sides: Sides, size: number, without: number) => {
      for (const action of allowed) {
        const work = problem.work[action % tests]!
        gain[action] = 0
        price[action] = work.cost
        if (without >= 0 && work.kind === "change" && work.part === without) continue
        for (let r = eliminations.firstRow[action]!; r < eliminations.firstRow[action + 1]!; r++) {
          const at = (r * places + g) * faults
          let sum = 0
          for (let i = 0; i < size; i++) {
            const k = set[i]!
            const h = ids[k]!
            const f = h < faults ? h : h - faults
            sum += weights[k]! * (isOff[h] ? sides.inactive[at + f]! : sides.active[at + f]!)
          }
          if (sum > gain[action]!) {
            gain[action] = sum
            row[action] = r
          }
        }
      }
      for (const action of allowed) {
        if (action < tests || used[action - tests]) continue
        const swap = action - tests
        if (gain[action]! > gain[swap]!) {
          gain[action]! += gain[swap]!
          price[action]! += price[swap]!
          gain[swap] = 0
        }
      }
    }

    /** Cost of the fractional knapsack; `share` says how much of each action is in it. */
    const fill = (need: number): number => {
      for (const action of allowed) share[action] = 0
      let cost = 0
      let open = need
      while (open > 0) {
        let best = -1
        for (const action of allowed) {
          if (share[action]! > 0 || gain[action]! <= 0) continue
          if (best < 0 || gain[action]! * price[best]! > gain[best]! * price[action]!) best = action
        }
        if (best < 0) return Number.POSITIVE_INFINITY
        share[best] = Math.min(1, open / gain[best]!)
        cost += share[best]! * price[best]!
        open -= share[best]! * gain[best]!
        if (share[best]! < 1 || cost >= failure) break
      }
      return cost
    }

    const believe = (g: number, sides: Sides, without: number): number => {
      const left = ((1 - trust) / trust) * mass[g]! + TRUST_SLACK * 10
      let size = 0
      let weight = 0
      for (let k = 0; k < ids.length; k++) {
        if (ids[k]! < faults && problem.place[ids[k]!] === g) continue
        set[size++] = k
        weight += weights[k]!
      }
      let cost = 0
      for (let round = 0; round < ROUNDS && weight > left; round++) {
        weigh(g, sides, size, without)
        cost = Math.max(cost, fill(weight - left))
        if (cost >= failure) return cost
        // Keep those that what was bought leaves nearly untouched.
        let kept = 0
        weight = 0
        for (let i = 0; i < size; i++) {
          const k = set[i]!
          const h = ids[k]!
          const f = h < faults ? h : h - faults
          let taken = 0
          for (const action of allowed) {
            if (share[action]! === 0) continue
            const at = (row[action]! * places + g) * faults + f
            taken += share[action]! * (isOff[h] ? sides.inactive[at]! : sides.active[at]!)
          }
          if (taken >= 0.5) continue
          set[kept++] = k
          weight += weights[k]!
        }
        if (kept === size) break
        size = kept
      }
      return cost
    }

    return {
      cheapest,
      costOf: (g) => {
        if (trust === 0 || mass[g]! >= trust - TRUST_SLACK) return 0
        if (!problem.isPart[g]) return believe(g, eliminations.own, -1)
        if (fitted.length > 0 && isFitted(problem, state, g)) return believe(g, eliminations.swapped, -1)
        const swap = swapCost(g)
        const without = believe(g, eliminations.own, g)
        if (without <= swap || swap === Number.POSITIVE_INFINITY) return without
        // With the swap there is at least its own price, and all that it makes possible besides.
        return Math.min(without, Math.max(swap, believe(g, eliminations.swapped, -1)))
      },
      redoCost: (setup) => cheapestOf(redoings[setup]!, true),
      swapCost,
    }
  }
}
