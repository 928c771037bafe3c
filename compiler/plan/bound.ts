import { makeCover } from "./cover.ts"
import { makeEliminations } from "./elimination.ts"
import { makeLoss } from "./loss.ts"
import type { Problem } from "./problem.ts"
import { isFitted, type State } from "./state.ts"
import { remedyChances, TRUST_SLACK } from "./stop.ts"

/**
 * A proved lower bound on the best expected total from a state.
 *
 * The total is the sum, over the live hypotheses, of the chance of each times what is spent on its path. On the path of
 * a hypothesis h in place g one of these must come true:
 *   1. g is the verdict, so all others together must have lost enough weight for `trust` (cover.ts says what that costs
 *      at least);
 *   2. h lies in a setup and is cured: at least the cheapest action that redoes it;
 *   3. another verdict, or handing over: comeback, or handover;
 *   4. a rule or a never takes its weight away although h is there (loss.ts says with what chance at most). What remains
 *      is scaled up again in the outcomes, which can only add to the total.
 */
export function makeBound(problem: Problem): (state: State) => number {
  const { faults, handover, comeback, trust } = problem
  const places = problem.price.length
  const eliminations = makeEliminations(problem)
  // A ruleset too large for the tables is too large for a bound that says anything; zero is one, and costs nothing.
  if (!eliminations) return () => 0
  const prepare = makeCover(problem, eliminations)
  const prepareLoss = makeLoss(problem)
  const setupExists = problem.model.places.some((p) => p.kind === "setup")
  const cheapestPart = Math.min(...problem.model.places.map((p) => (p.kind === "part" ? p.price : Infinity)))
  const failure = Math.min(handover, comeback + (setupExists ? 0 : cheapestPart))
  const mass = new Float64Array(places + 1)
  const cost = new Float64Array(places)

  return (state) => {
    const { ids, weights } = state
    remedyChances(problem, state, mass)
    const cover = prepare(state, mass, failure)
    const lossOf = prepareLoss(state)
    cost.fill(-1)
    let total = 0
    for (let k = 0; k < ids.length; k++) {
      const h = ids[k]!
      if (h >= faults) {
        total += weights[k]! * (mass[places]! >= trust - TRUST_SLACK ? 0 : Math.min(cover.cheapest, failure))
        continue
      }
      const g = problem.place[h]!
      if (cost[g]! < 0) {
        const believed = Math.min(cover.costOf(g), failure)
        cost[g] = problem.isPart[g] ? believed : Math.min(believed, cover.redoCost(g))
      }
      let least = cost[g]!
      if (least > 0) {
        const lost = lossOf(h)
        if (state.fitted.length > 0 && isFitted(problem, state, g)) least = Math.min(least, lost.cost)
        else {
          if (problem.isPart[g]) least = Math.min(least, lost.cost + cover.swapCost(g))
          least = (1 - lost.chance) * least + lost.chance * Math.min(least, lost.cost)
        }
      }
      total += weights[k]! * least
    }
    return total
  }
}
