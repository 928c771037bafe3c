import type { Model } from "../model/model.ts"
import { extract } from "./extract.ts"
import { meansOf } from "./means.ts"
import { isSolved } from "./node.ts"
import type { Plan, Planner, PlanOptions, Progress } from "./plan.ts"
import { makeProblem } from "./problem.ts"
import { Search } from "./search.ts"
import { unavoidableCost } from "./unavoidable.ts"

/** About ten seconds for a ruleset of forty faults (test/bench/README.md). */
export const DEFAULT_EFFORT = 14_000

/** Faults and tests at most of a ruleset that is planned longer, since it may be proved. */
export const SMALL = 12
export const EFFORT_OF_SMALL = 40_000

function isSmall(model: Model): boolean {
  return model.faults.length <= SMALL && model.tests.length <= SMALL
}

const DEFAULT_GAP = 0
const DEFAULT_MASS = 0.0005
/** Megabytes of states: the whole process takes about twice that, a gigabyte at most. */
const DEFAULT_MEMORY = 550
const MEMORY_OF_SMALL = 1000

/**
 * A branch with less chance than this is left to `advise`: less in a ruleset of many faults, where each has less to
 * begin with.
 */
export function defaultMass(faults: number): number {
  return DEFAULT_MASS * Math.min(1, 50 / faults) ** 2.3
}

/**
 * Part of the effort that is kept for following the plan: first down to `mass`, then as far as this part of it. What is
 * not written is left to `advise`, but its cost counts, and where nobody has looked that is the cost of handing over.
 */
const LAST = 0.5
/** A ruleset that may be proved spends its effort on that. */
const LAST_OF_SMALL = 0.2
const BELOW_MASS = 1 / 64

/** What would be handed over comes first then: a repair sequence is a plan. */
const PLANNED = 1 / 20

/**
 * Plans a model (the reference's formulas.md, "Cost"). Making the planner is quick; the first plan comes with the
 * first `advance`, and each makes it better or proves more of it. Effort is counted in states and memory in what they
 * hold, never in time, so the same model always gives the same plan.
 *
 * @throws RangeError where a test has more outcomes than `MOST_OUTCOMES` (`compile` reports that as a finding before).
 */
export function makePlanner(model: Model, options: PlanOptions = {}): Planner {
  const { gap = DEFAULT_GAP } = options
  const { effort = isSmall(model) ? EFFORT_OF_SMALL : DEFAULT_EFFORT } = options
  const { memory = isSmall(model) ? MEMORY_OF_SMALL : DEFAULT_MEMORY } = options
  const { mass = defaultMass(model.faults.length) } = options
  const last = isSmall(model) ? LAST_OF_SMALL : LAST
  const problem = makeProblem(model)
  const means = meansOf(problem)
  const search = new Search(means, means.dynamics.start(), memory * 2 ** 20)
  /** Branches of this chance have been followed. */
  let followed = Number.POSITIVE_INFINITY
  let finished: Plan | undefined
  let known: number | undefined
  const unavoidable = () => {
    known ??= unavoidableCost(problem)
    return known
  }
  const isProved = () => {
    const { upper, lower } = search.root
    return isSolved(search.root) || upper - lower <= gap * upper
  }
  const spent = () => Math.max(search.expanded / effort, search.bytes / (memory * 2 ** 20))
  const isFull = (part: number) => spent() >= part
  const progress = (): Progress => ({
    upper: search.root.upper,
    lower: search.root.lower,
    expanded: search.expanded,
    bytes: search.bytes,
    spent: Math.min(1, spent()),
    done: followed <= mass && (isProved() || isFull(1)),
  })
  const follow = () => {
    search.boundThoroughly()
    const next = followed > mass ? mass : followed / 2
    if (search.deepen(next, effort - search.expanded, PLANNED) || isFull(1)) followed = next
  }
  return {
    advance(expansions) {
      const until = search.expanded + expansions
      while (search.expanded < until) {
        if (!isProved() && !isFull(1 - last)) search.trial()
        else if (followed > mass) follow()
        else if (isProved() || isFull(1)) break
        else if (followed > mass * BELOW_MASS) follow()
        else search.trial()
      }
      return progress()
    },
    get progress() {
      return progress()
    },
    draft: () => extract(problem, search, mass, 0, false),
    plan() {
      if (options.bare) return this.draft()
      if (!progress().done) return extract(problem, search, mass, unavoidable(), false)
      finished ??= extract(problem, search, mass, unavoidable(), true)
      return finished
    },
  }
}

/** The plan of a model in one call, with all the effort that the options allow. */
export function makePlan(model: Model, options: PlanOptions = {}) {
  const planner = makePlanner(model, options)
  planner.advance(Number.POSITIVE_INFINITY)
  return planner.plan()
}
