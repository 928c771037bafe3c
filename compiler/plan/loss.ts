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
  const conditions = [...problem.rules.map((rule) => rule.condition), ...problem.nevers]
  const nevers = problem.nevers.map((_, i) => problem.rules.length + i)
  const against = rulesAgainst(problem).map((rules) => [...rules, ...nevers])
  const helpers = helpersOf(problem, conditions)
  const readers = problem.model.readings.map((_, r) =>
    problem.model.tests.reduce((n, t) => n + (t.reads.includes(r) ? 1 : 0), 0),
  )
  /** `[condition × faults + f]`: whether f shows on a reading that the condition speaks of. */
  const showsOn = new Uint8Array(conditions.length * problem.faults)
  conditions.forEach((condition, i) => {
    for (const r of readingsIn(condition)) {
      problem.model.faults.forEach((fault, f) => {
        if (fault.chances[r]) showsOn[i * problem.faults + f] = 1
      })
    }
  })
  /**
   * By condition, in the state at hand: cost of the cheapest look that helps to make it true, Infinity where none is left;
   * its chance with a fault that shows nothing on it; and whether it is false as things stand.
   */
  const price = new Float64Array(conditions.length)
  const usual = new Float64Array(conditions.length)
  const isFalse = new Uint8Array(conditions.length)

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
    for (let i = 0; i < conditions.length; i++) {
      price[i] = Number.POSITIVE_INFINITY
      for (const t of helpers[i]!) if (!state.used[t]) price[i] = Math.min(price[i]!, problem.work[t]!.cost)
      if (price[i] === Number.POSITIVE_INFINITY) continue
      usual[i] = chanceOf(conditions[i]!, -1, state.evidence, true)
      isFalse[i] = evaluate(conditions[i]!, state.evidence) === FALSE ? 1 : 0
    }
    return (f) => {
      let chance = 0
      let cost = Number.POSITIVE_INFINITY
      for (const i of against[f]!) {
        if (price[i] === Number.POSITIVE_INFINITY) continue
        const own = showsOn[i * problem.faults + f] === 1
        const more = own ? chanceOf(conditions[i]!, f, state.evidence, true) : usual[i]!
        if (more === 0 && isFalse[i]) continue
        chance += more
        cost = Math.min(cost, price[i]!)
      }
      return { chance: Math.min(1, chance), cost }
    }
  }
}
