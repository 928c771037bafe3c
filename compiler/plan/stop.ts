import type { Remedy } from "./plan.ts"
import type { Problem } from "./problem.ts"
import type { State } from "./state.ts"

/** Ending here: the cheapest verdict that trust allows, or handing over. */
export interface Stop {
  readonly cost: number
  /** Undefined: hand over. */
  readonly remedy?: Remedy
  /** Chance that the remedy mends the machine; 0 when handing over. */
  readonly chance: number
}

/** Slack on `chance >= trust`, so that a sum of rounded weights does not miss a trust that it equals. */
export const TRUST_SLACK = 1e-12

const DONE: Remedy = { kind: "done" }

/** Chance of each remedy: by place, and in the last slot that all is done. */
export function remedyChances(problem: Problem, state: State, into?: Float64Array): Float64Array {
  const places = problem.price.length
  const mass = into ?? new Float64Array(places + 1)
  if (into) into.fill(0)
  for (let k = 0; k < state.ids.length; k++) {
    const h = state.ids[k]!
    mass[h < problem.faults ? problem.place[h]! : places]! += state.weights[k]!
  }
  return mass
}

let scratch = new Float64Array(0)

/** Cheapest way to end in this state (semantics.md, "Cost and the best plan"). Ties go to a verdict, then to the lower place. */
export function stop(problem: Problem, state: State): Stop {
  const places = problem.price.length
  if (scratch.length !== places + 1) scratch = new Float64Array(places + 1)
  const mass = remedyChances(problem, state, scratch)
  let best: { cost: number; chance: number; at: number } = { cost: problem.handover, chance: 0, at: -1 }
  if (state.ids.length > 0) {
    for (let g = 0; g <= places; g++) {
      const chance = Math.min(1, mass[g]!)
      if (chance < problem.trust - TRUST_SLACK || chance === 0) continue
      const cost = (1 - chance) * ((g < places ? problem.price[g]! : 0) + problem.comeback)
      if (cost < best.cost || (cost === best.cost && best.at < 0)) best = { cost, chance, at: g }
    }
  }
  if (best.at < 0) return { cost: best.cost, chance: 0 }
  const remedy: Remedy =
    best.at === places ? DONE : { kind: problem.isPart[best.at] ? "replace" : "redo", place: best.at }
  return { cost: best.cost, chance: best.chance, remedy }
}
