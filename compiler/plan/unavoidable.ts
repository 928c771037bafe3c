import type { FaultStates } from "./fault-states.ts"
import { type Means, meansOf } from "./means.ts"
import { isSolved } from "./node.ts"
import type { Problem } from "./problem.ts"
import { Search } from "./search.ts"

/** Effort of all searches for the best plan of one state, by step of the ruleset: states with more steps take longer. */
const EFFORT = 200_000

/** Trials of one state until it is asked again which state's plan is worth most. */
const TRIALS = 20

/** The first plan of a state leaves branches of less chance for later. */
const FAINT = 0.01

interface Single {
  readonly chance: number
  readonly search: Search
}

/**
 * What the same jobs cost somebody who knows the state of the machine from the start: the best plan for each state by
 * itself, without rules, nevers and trust, on average. Of a large ruleset the last plans are not proved best: the
 * effort goes to the states that could change the average most. Where pairs of faults are left out of the plan, the
 * others count as if their faults came in one by one.
 */
export function unavoidableCost(problem: Problem): number {
  const means = meansOf({ ...problem, rules: [], nevers: [], trust: 0 })
  const { count, prior, leftOut } = problem.states
  const all = prior.reduce((sum, chance) => sum + chance, 0)
  const open: Single[] = []
  let cost = 0
  let effort = EFFORT / problem.steps.length
  const chances = leftOut > 0 ? asSingles(problem.states) : prior
  for (let state = 0; state < count; state++) {
    if (chances[state] === 0) continue
    const single = { chance: chances[state]! / all, search: firstPlan(means, state) }
    if (isSolved(single.search.root)) cost += single.chance * single.search.root.upper
    else open.push(single)
  }
  while (effort > 0 && open.length > 0) {
    const at = widest(open)
    const { search, chance } = open[at]!
    const before = search.expanded
    for (let i = 0; i < TRIALS && !isSolved(search.root); i++) search.trial()
    effort -= 1 + search.expanded - before
    if (!isSolved(search.root)) continue
    cost += chance * search.root.upper
    open.splice(at, 1)
  }
  return open.reduce((sum, { chance, search }) => sum + chance * search.root.upper, cost)
}

/** The chances of the states, those of each pair given to both of its faults. */
function asSingles({ first, second, prior }: FaultStates): Float64Array {
  const chances = prior.map((chance, state) => (second[state]! < 0 ? chance : 0))
  const stateOf = new Map<number, number>()
  for (const [state, fault] of first.entries()) if (second[state]! < 0) stateOf.set(fault, state)
  for (const [state, chance] of prior.entries()) {
    if (second[state]! < 0) continue
    for (const fault of [first[state]!, second[state]!]) chances[stateOf.get(fault) ?? state]! += chance
  }
  return chances
}

function firstPlan(means: Means, state: number): Search {
  const search = new Search(means, means.dynamics.start(state))
  if (!isSolved(search.root)) search.deepen(FAINT)
  return search
}

/** The search whose bounds could change the average most. */
function widest(open: readonly Single[]): number {
  const width = ({ chance, search: { root } }: Single) => chance * (root.upper - root.lower)
  return open.reduce((best, each, i) => (width(each) > width(open[best]!) ? i : best), 0)
}
