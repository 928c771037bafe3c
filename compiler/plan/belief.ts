import type { FaultIndex } from "../run/indexes.ts"
import { allOf } from "./fault-states.ts"
import type { Belief, Hypothesis } from "./plan.ts"
import type { Problem } from "./problem.ts"
import type { State } from "./state.ts"

/** Lists of faults are shared: a plan has millions of hypotheses. */
const shared = new WeakMap<Problem, Map<number, Pick<Hypothesis, "faults" | "cured">>>()

/**
 * What a state of the search says of the machine, memories left out; worked out when it is asked for. A plan of five
 * hundred faults has ten thousand nodes with thousands of hypotheses each, and hardly anybody asks for more than a few.
 */
export function beliefOf(problem: Problem, state: State): Belief {
  let known: Omit<Belief, "hypotheses"> | undefined
  const chances = () => {
    known ??= chancesOf(problem, state)
    return known
  }
  return {
    get hypotheses() {
      return hypothesesOf(problem, state)
    },
    get present() {
      return chances().present
    },
    get active() {
      return chances().active
    },
    get unlisted() {
      return chances().unlisted
    },
  }
}

function hypothesesOf(problem: Problem, { ids, weights }: State): Hypothesis[] {
  const hypotheses: (Hypothesis & { chance: number })[] = []
  let last = -1
  ids.forEach((id, k) => {
    if (id === last) hypotheses.at(-1)!.chance += weights[k]!
    else hypotheses.push({ ...whatIsIn(problem, id), chance: weights[k]! })
    last = id
  })
  return hypotheses
}

function chancesOf(problem: Problem, { ids, weights, job }: State): Omit<Belief, "hypotheses"> {
  const { model, states, place } = problem
  const present = model.faults.map(() => 0)
  const active = model.faults.map(() => 0)
  const isFitted = (fault: number) => job.fitted.some(({ part }) => part === place[fault])
  let unlisted = 0
  ids.forEach((id, k) => {
    const weight = weights[k]!
    const { faults, cured } = whatIsIn(problem, id)
    if (allOf(states, id >> 2) === 0) unlisted += weight
    for (const fault of faults) {
      present[fault]! += weight
      if (!cured.includes(fault) && !isFitted(fault)) active[fault]! += weight
    }
  })
  return { present, active, unlisted }
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
