import { statesOf } from "./fault-states.ts"
import { isSolved } from "./node.ts"
import type { Problem } from "./problem.ts"
import { Search } from "./search.ts"

/** States that the search for one state's best plan may expand. */
const EFFORT = 3000

/**
 * What the same jobs cost somebody who knows the state of the machine from the start: the best plan for each state by
 * itself, without rules, nevers and trust, on average.
 */
export function unavoidableCost(problem: Problem): number {
  const { count, first, second, prior } = problem.states
  let sum = 0
  let all = 0
  for (let state = 0; state < count; state++) {
    all += prior[state]!
    sum += prior[state]! * costOfState(problem, first[state]!, second[state]!)
  }
  return sum / all
}

function costOfState(problem: Problem, first: number, second: number): number {
  if (first < 0) return problem.handover
  const states = statesOf([[first, second, 1]])
  const search = new Search({ ...problem, states, rules: [], nevers: [], trust: 0 })
  while (!isSolved(search.root) && search.expanded < EFFORT) search.trial()
  return search.root.upper
}
