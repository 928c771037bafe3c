import type { FaultIndex } from "../run/indexes.ts"
import { allOf } from "./fault-states.ts"
import type { Belief, Hypothesis } from "./plan.ts"
import type { Problem } from "./problem.ts"
import type { State } from "./state.ts"

/** What a state of the search says of the machine, memories left out. */
export function beliefOf({ model, states, place }: Problem, { ids, weights, job }: State): Belief {
  const present = model.faults.map(() => 0)
  const active = model.faults.map(() => 0)
  const hypotheses: (Hypothesis & { chance: number })[] = []
  const isFitted = (fault: number) => job.fitted.some(({ part }) => part === place[fault])
  let unlisted = 0
  let last = -1
  ids.forEach((id, k) => {
    const state = id >> 2
    const weight = weights[k]!
    const faults = faultsOf(states.first[state]!, states.second[state]!)
    const cured = faults.filter((_, i) => (id & (1 << i)) !== 0)
    if (allOf(states, state) === 0) unlisted += weight
    for (const fault of faults) {
      present[fault]! += weight
      if (!cured.includes(fault) && !isFitted(fault)) active[fault]! += weight
    }
    if (id === last) hypotheses.at(-1)!.chance += weight
    else hypotheses.push({ faults, cured, chance: weight })
    last = id
  })
  return { hypotheses, present, active, unlisted }
}

function faultsOf(first: number, second: number): FaultIndex[] {
  return [first, second].filter((fault): fault is FaultIndex => fault >= 0)
}
