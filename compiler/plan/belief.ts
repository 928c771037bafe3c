import type { FaultIndex } from "../run/indexes.ts"
import { allOf } from "./fault-states.ts"
import type { Belief, Hypothesis } from "./plan.ts"
import type { Problem } from "./problem.ts"
import type { State } from "./state.ts"

/** Lists of faults are shared: a plan has millions of hypotheses. */
const shared = new WeakMap<Problem, Map<number, Pick<Hypothesis, "faults" | "cured">>>()

/** What a state of the search says of the machine, memories left out. */
export function beliefOf(problem: Problem, { ids, weights, job }: State): Belief {
  const { model, states, place } = problem
  const present = model.faults.map(() => 0)
  const active = model.faults.map(() => 0)
  const hypotheses: (Hypothesis & { chance: number })[] = []
  const isFitted = (fault: number) => job.fitted.some(({ part }) => part === place[fault])
  let unlisted = 0
  let last = -1
  ids.forEach((id, k) => {
    const weight = weights[k]!
    const { faults, cured } = whatIsIn(problem, id)
    if (allOf(states, id >> 2) === 0) unlisted += weight
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

function whatIsIn(problem: Problem, id: number): Pick<Hypothesis, "faults" | "cured"> {
  let known = shared.get(problem)
  if (known === undefined) {
    known = new Map()
    shared.set(problem, known)
  }
  let found = known.get(id)
  if (found === undefined) {
    const { first, second } = problem.states
    const faults = [first[id >> 2]!, second[id >> 2]!].filter((fault): fault is FaultIndex => fault >= 0)
    found = { faults, cured: faults.filter((_, i) => (id & (1 << i)) !== 0) }
    known.set(id, found)
  }
  return found
}
