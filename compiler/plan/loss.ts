import type { Condition } from "../model/model.ts"
import { evaluate, FALSE } from "./condition.ts"
import { helpersOf, rulesAgainst } from "./elimination.ts"
import { type Problem, readingsIn } from "./problem.ts"
import type { State } from "./state.ts"

/** Chance at most, and cost at least, of losing a fault to a rule or a never although it is there and active. */
export interface Loss {
  readonly chance: number
  readonly cost: number
}

/**
 * A ruleset may rule out a fault that is there: its weight is gone then, and with it all that its path would still have
 * cost. What a bound may count on for a fault is less by that; this says by how much at most.
 */
export function makeLoss(problem: Problem): (state: State) => (f: number) => Loss {
  const against = rulesAgainst(problem)
  const conditions = problem.rules.map((rule) => rule.condition)
  const helpers = helpersOf(problem, conditions)
  const neverHelpers = helpersOf(problem, problem.nevers)
  const readers = problem.model.readings.map((_, r) =>
    problem.model.tests.reduce((n, t) => n + (t.reads.includes(r) ? 1 : 0), 0),
  )
  /** By fault and never: whether the fault shows on a reading that the never speaks of. */
  const showsOn = problem.model.faults.map((fault) =>
    problem.nevers.map((never) => [...readingsIn(never)].some((r) => fault.chances[r] !== undefined)),
  )
  const usual = new Float64Array(problem.nevers.length)
  const price = new Float64Array(problem.nevers.length)

  /** Upper bound on the chance that a condition comes out as wanted while f (-1: none) stays active. */
  const chanceOf = (c: Condition, f: number, evidence: ArrayLike<number>, wanted: boolean): number => {
    if (c.kind === "not") return chanceOf(c.item, f, evidence, !wanted)
    if (c.kind === "in") {
      // What several tests read may come out otherwise the next time.
      if (readers[c.reading]! > 1) return 1
      const cell = evidence[c.reading]!
      if (cell >= 0) return c.cells[cell] === wanted ? 1 : 0
      const chances =
        problem.model.faults[f]?.chances[c.reading] ?? problem.model.readings[c.reading]!.healthy
      let sum = 0
      for (let i = 0; i < chances.length; i++) if (c.cells[i] === wanted) sum += chances[i]!
      return sum
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
    const cheapest = (tests: readonly number[]) => {
      let least = Number.POSITIVE_INFINITY
      for (const t of tests) if (!state.used[t]) least = Math.min(least, problem.work[t]!.cost)
      return least
    }
    for (let i = 0; i < problem.nevers.length; i++) {
      price[i] = cheapest(neverHelpers[i]!)
      usual[i] =
        price[i]! < Number.POSITIVE_INFINITY ? chanceOf(problem.nevers[i]!, -1, state.evidence, true) : 0
    }
    return (f) => {
      let chance = 0
      let cost = Number.POSITIVE_INFINITY
      for (const i of against[f]!) {
        const least = cheapest(helpers[i]!)
        if (least === Number.POSITIVE_INFINITY) continue
        const more = chanceOf(conditions[i]!, f, state.evidence, true)
        if (more === 0 && evaluate(conditions[i]!, state.evidence) === FALSE) continue
        chance += more
        cost = Math.min(cost, least)
      }
      for (let i = 0; i < problem.nevers.length; i++) {
        if (price[i] === Number.POSITIVE_INFINITY) continue
        const more = showsOn[f]![i] ? chanceOf(problem.nevers[i]!, f, state.evidence, true) : usual[i]!
        if (more === 0 && evaluate(problem.nevers[i]!, state.evidence) === FALSE) continue
        chance += more
        cost = Math.min(cost, price[i]!)
      }
      return { chance: Math.min(1, chance), cost }
    }
  }
}
