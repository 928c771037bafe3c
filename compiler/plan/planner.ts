import type { Model } from "../model/model.ts"
import { extract } from "./extract.ts"
import type { Planner, PlanOptions, Progress } from "./plan.ts"
import { makeProblem } from "./problem.ts"
import { isSolved, Search } from "./search.ts"

export const DEFAULT_EFFORT = 100_000
export const DEFAULT_GAP = 0
export const DEFAULT_MASS = 0.0005

/**
 * Plans a model (semantics.md, "Cost and the best plan"). The first plan is there at once; each `advance` makes it
 * better or proves more of it. Effort is counted in states, never in time, so the same model always gives the same plan.
 *
 * @throws RangeError where a test has more outcomes than `MOST_OUTCOMES` (`compile` reports that as a finding before).
 */
export function makePlanner(model: Model, options: PlanOptions = {}): Planner {
  const { effort = DEFAULT_EFFORT, gap = DEFAULT_GAP, mass = DEFAULT_MASS } = options
  const problem = makeProblem(model)
  const search = new Search(problem)
  const isDone = () => {
    const { upper, lower } = search.root
    return isSolved(search.root) || upper - lower <= gap * upper || search.expanded >= effort
  }
  const progress = (): Progress => ({
    upper: search.root.upper,
    lower: search.root.lower,
    expanded: search.expanded,
    done: isDone(),
  })
  return {
    advance(expansions) {
      const until = search.expanded + expansions
      while (!isDone() && search.expanded < until) search.trial()
      return progress()
    },
    get progress() {
      return progress()
    },
    plan: () => extract(problem, search, mass),
  }
}

/** The plan of a model in one call, with all the effort that the options allow. */
export function makePlan(model: Model, options: PlanOptions = {}) {
  const planner = makePlanner(model, options)
  planner.advance(Number.POSITIVE_INFINITY)
  return planner.plan()
}
