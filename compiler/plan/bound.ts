import type { Condition } from "../model/model.ts"
import { evaluate, FALSE } from "./condition.ts"
import { helpersOf, makeEliminations, rulesAgainst } from "./elimination.ts"
import { type Change, type Problem, readingsIn } from "./problem.ts"
import { isFitted, type State } from "./state.ts"
import { remedyChances, TRUST_SLACK } from "./stop.ts"

/**
 * A proved lower bound on the best expected total from a state.
 *
 * The total is the sum, over the live hypotheses, of the chance of each times what is spent on its path. On the path of
 * a hypothesis h in place g one of these must come true:
 *   1. g is the verdict, so all others together must have lost enough weight for `trust`. An action can take from them
 *      at most its elimination (elimination.ts), and 1 − Π(1 − e) ≤ Σ e: the least cost is at least that of the
 *      fractional knapsack that covers the loss. (Dantzig 1957 for the fractional knapsack; a union bound per fault.)
 *   2. h lies in a setup and is cured: at least the cheapest action that redoes it.
 *   3. another verdict, or handing over: comeback, or handover.
 *   4. a rule or a never takes its weight away although h is there. The chance of that is bounded from the open
 *      conditions; what remains is scaled up again in the outcomes, which can only add to the total.
 */
export function makeBound(problem: Problem): (state: State) => number {
  const { faults, tests, handover, comeback, trust } = problem
  const places = problem.price.length
  const eliminations = makeEliminations(problem)
  const against = rulesAgainst(problem)
  const helpers = helpersOf(problem)
  const neverHelpers = problem.nevers.map((never) => {
    const reads = readingsIn(never)
    return Array.from({ length: tests }, (_, t) => t).filter((t) =>
      problem.model.tests[t]!.reads.some((r) => reads.has(r)),
    )
  })
  const rereads = problem.model.readings.map((_, r) =>
    problem.model.tests.reduce((n, t) => n + (t.reads.includes(r) ? 1 : 0), 0),
  )
  const setupExists = problem.model.places.some((p) => p.kind === "setup")
  const cheapestPart = Math.min(...problem.model.places.map((p) => (p.kind === "part" ? p.price : Infinity)))
  const wrongVerdict = comeback + (setupExists ? 0 : cheapestPart)
  const failure = Math.min(handover, wrongVerdict)
  const mass = new Float64Array(places + 1)
  const cover = new Float64Array(places)
  const price = new Float64Array(2 * tests)
  const gain = new Float64Array(2 * tests)
  const actions = new Int32Array(2 * tests)

  /** Upper bound on the chance that a condition comes true while fault f stays active. */
  const chanceOf = (c: Condition, f: number, evidence: ArrayLike<number>, wanted: boolean): number => {
    if (c.kind === "not") return chanceOf(c.item, f, evidence, !wanted)
    if (c.kind === "in") {
      const cell = evidence[c.reading]!
      if (cell >= 0 && rereads[c.reading]! <= 1) return c.cells[cell] === wanted ? 1 : 0
      const chances =
        problem.model.faults[f]!.chances[c.reading] ?? problem.model.readings[c.reading]!.healthy
      let sum = 0
      for (let i = 0; i < chances.length; i++) if (c.cells[i] === wanted) sum += chances[i]!
      return rereads[c.reading]! <= 1 ? sum : 1
    }
    const every = (c.kind === "and") === wanted
    let value = every ? 1 : 0
    for (const item of c.items) {
      const chance = chanceOf(item, f, evidence, wanted)
      value = every ? Math.min(value, chance) : Math.min(1, value + chance)
    }
    return value
  }

  return (state) => {
    const { ids, weights, used, evidence } = state
    remedyChances(problem, state, mass)
    let count = 0
    let cheapest = Infinity
    const allow = (action: number, cost: number) => {
      actions[count] = action
      price[count++] = cost
      cheapest = Math.min(cheapest, cost)
    }
    for (let t = 0; t < tests; t++) {
      const work = problem.work[t]!
      if (!used[t]) allow(t, work.cost)
      if (work.kind === "change" && work.part >= 0 && (!used[t] || state.fitted.includes(t)))
        allow(tests + t, work.cost)
    }

    /** Least cost of making the remedy of place g believed, or the cheapest action where no table is kept. */
    const coverCost = (g: number): number => {
      let need = 1 - mass[g]! - ((1 - trust) / trust) * mass[g]! - TRUST_SLACK * 10
      if (!(need > 0)) return 0
      if (!eliminations) return cheapest
      for (let i = 0; i < count; i++) {
        const at = (actions[i]! * places + g) * faults
        let sum = 0
        for (let k = 0; k < ids.length; k++) {
          const h = ids[k]!
          const f = h < faults ? h : h - faults
          const place = problem.place[f]!
          if (h < faults && place === g) continue
          const isInactive = h >= faults || (state.fitted.length > 0 && isFitted(problem, state, place))
          sum += weights[k]! * (isInactive ? eliminations.inactive[at + f]! : eliminations.active[at + f]!)
        }
        gain[i] = sum
      }
      let cost = 0
      while (need > 0) {
        let best = -1
        for (let i = 0; i < count; i++) {
          if (gain[i]! > 0 && (best < 0 || gain[i]! * price[best]! > gain[best]! * price[i]!)) best = i
        }
        if (best < 0) return Infinity
        const part = Math.min(1, need / gain[best]!)
        cost += part * price[best]!
        need -= part * gain[best]!
        gain[best] = 0
        if (cost >= failure) return cost
        if (part < 1) break
      }
      return cost
    }

    const cureCost = (setup: number): number => {
      let cost = Infinity
      for (let i = 0; i < count; i++) {
        const work = problem.work[actions[i]! % tests]!
        if (work.kind === "change" && work.cures[setup]! > 0) cost = Math.min(cost, price[i]!)
      }
      return cost
    }

    const swapCost = (part: number): number => {
      let cost = Infinity
      for (let i = 0; i < count; i++) {
        const work = problem.work[actions[i]! % tests] as Change
        if (actions[i]! < tests && work.kind === "change" && work.part === part)
          cost = Math.min(cost, price[i]!)
      }
      return cost
    }

    /** Chance at most, and cost at least, of losing fault f to a rule or a never while it is active. */
    const loss = (f: number): { chance: number; cost: number } => {
      let chance = 0
      let cost = Infinity
      const consider = (c: Condition, by: readonly number[]) => {
        if (evaluate(c, evidence) === FALSE && by.every((t) => used[t])) return
        let least = Infinity
        for (const t of by) if (!used[t]) least = Math.min(least, problem.work[t]!.cost)
        if (least === Infinity) return
        chance = Math.min(1, chance + chanceOf(c, f, evidence, true))
        cost = Math.min(cost, least)
      }
      for (const i of against[f]!) consider(problem.rules[i]!.condition, helpers[i]!)
      for (let i = 0; i < problem.nevers.length; i++) consider(problem.nevers[i]!, neverHelpers[i]!)
      return { chance, cost }
    }

    cover.fill(-1)
    let total = 0
    for (let k = 0; k < ids.length; k++) {
      const h = ids[k]!
      if (h >= faults) {
        total += weights[k]! * (mass[places]! >= trust - TRUST_SLACK ? 0 : Math.min(cheapest, failure))
        continue
      }
      const place = problem.place[h]!
      if (cover[place]! < 0) {
        const cost = Math.min(coverCost(place), failure)
        cover[place] = problem.isPart[place] ? cost : Math.min(cost, cureCost(place))
      }
      let cost = cover[place]!
      if (cost > 0) {
        const lost = loss(h)
        if (state.fitted.length > 0 && isFitted(problem, state, place)) cost = Math.min(cost, lost.cost)
        else {
          if (problem.isPart[place]) cost = Math.min(cost, lost.cost + swapCost(place))
          cost = (1 - lost.chance) * cost + lost.chance * Math.min(cost, lost.cost)
        }
      }
      total += weights[k]! * cost
    }
    return total
  }
}
