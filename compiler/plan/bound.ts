import { makeCover } from "./cover.ts"
import { makeLosses } from "./loss.ts"
import type { Problem } from "./problem.ts"
import { makeSeparation } from "./separation.ts"
import { actionsOf, costOf, type State } from "./state.ts"
import { remedyChances } from "./stop.ts"

/** Hypotheses of less weight add nothing that is worth the work. */
const FAINT = 1e-4

/** A proved lower bound on the best expected total from a state, money. */
export interface Bound {
  of(state: State): number
  /** The same where each of the actions that may be done comes first, in the order of `actionsOf`. */
  byFirst(state: State): ArrayLike<number>
}

/**
 * The total from a state, bounded from below.
 *
 * The total is the sum, over the live hypotheses, of the chance of each times what is spent on its path. On the path of
 * a hypothesis h in place g one of these must come true:
 *   1. g is the verdict, so all others together must have lost the weight that `trust` wants;
 *   2. something that turns h itself is done: its setup redone, its part swapped;
 *   3. another verdict, or handing over.
 *
 * Let an action take, on average over its outcomes with h, the weight e from the others (separation.ts). Whatever the
 * policy, it is decided upon before it comes out, so done with chance p it takes p·e, and since 1 − Π(1 − e) ≤ Σ e the
 * need can be met no cheaper than by the fractional knapsack (Dantzig 1957) in which failing is one item among the
 * actions. It is the weak dual of that knapsack which is counted, for sets of suspects of which each gives a bound;
 * beginning with all others, each round keeps those that the round before left nearly untouched. This is the argument
 * of converse bounds in sequential testing (Chernoff 1959; Naghshvar and Javidi 2013) with total variation, which stays
 * finite where a finding rules something out, in the place of divergence.
 *
 * Two things bind the hypotheses together. The first step is the same for all: it costs each its full price, and saves
 * each at most what the knapsack would pay for what it takes. And verdicts that `trust` allows are wrong with chance
 * 1 − trust at most: beyond that, failing is handing over.
 *
 * A rule or a never may take the weight of h away although h is there. A step counts for the part of h that has lived up
 * to it, and a finding that takes h meets the need by itself (loss.ts). What remains is scaled up again in the outcomes,
 * which can only add to the total.
 */
export function makeBound(problem: Problem): Bound {
  const { handover, comeback, trust, isPart, price } = problem
  const separation = makeSeparation(problem)
  // A ruleset too large for the table is too large for a bound that says anything; zero is one, and costs nothing.
  // Without trust every remedy is believed at once.
  if (!separation || trust === 0)
    return {
      of: () => 0,
      byFirst: (state) => actionsOf(problem, state).map((action) => costOf(problem, action)),
    }
  const prepareLosses = makeLosses(problem)
  const cover = makeCover(problem, separation)
  const places = price.length
  const mass = new Float64Array(places + 1)
  /** By action that may be done: what it is worth to all paths together that it be done first. */
  const serves = [new Float64Array(separation.actions), new Float64Array(separation.actions)]

  /** What a wrong verdict costs at least, in a place that is still suspected. */
  const cheapestWrong = (): number => {
    let waste = mass[places]! > 0 ? 0 : Number.POSITIVE_INFINITY
    for (let g = 0; g < places; g++) if (mass[g]! > 0) waste = Math.min(waste, isPart[g] ? price[g]! : 0)
    return Math.min(handover, comeback + waste)
  }

  /** What all paths cost together, by what failing costs, the first step apart; fills `serves`. */
  const costOfPaths = ({ ids, weights }: State, failures: readonly number[], firsts: number): number[] => {
    const totals = failures.map(() => 0)
    for (const way of failures.keys()) serves[way]!.fill(0)
    for (let k = 0; k < ids.length; k++) {
      const w = weights[k]!
      if (w < FAINT) continue
      cover.work(k, failures)
      for (let way = 0; way < failures.length; way++) {
        if (cover.least[way] === 0) continue
        totals[way]! += w * cover.least[way]!
        const served = cover.served[way]!
        for (let i = 0; i < firsts; i++) serves[way]![i]! += w * served[i]!
      }
    }
    return totals
  }

  const byFirst = (state: State): Float64Array => {
    remedyChances(problem, state, mass)
    const firsts = actionsOf(problem, state)
    cover.enter(state, mass, prepareLosses(state), firsts)
    const wrong = cheapestWrong()
    const failures = wrong < handover ? [wrong, handover] : [handover]
    const totals = costOfPaths(state, failures, firsts.length)
    const bounds = new Float64Array(firsts.length)
    for (const [way, failure] of failures.entries()) {
      // Counted as handing over, the wrong verdicts have been counted too dear.
      const rest = totals[way]! - (failure - wrong) * (1 - trust)
      for (let i = 0; i < firsts.length; i++)
        bounds[i] = Math.max(bounds[i]!, rest + costOf(problem, firsts[i]!) - serves[way]![i]!)
    }
    return bounds
  }

  return {
    of(state) {
      let least = Number.POSITIVE_INFINITY
      for (const each of byFirst(state)) least = Math.min(least, each)
      return least
    },
    byFirst,
  }
}
