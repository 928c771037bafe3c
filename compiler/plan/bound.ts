import { floatAt, intAt, itemAt } from "../run/lookup.ts"
import { KnownStateCosts } from "./known-state.ts"
import { RuledOut } from "./ruled-out.ts"
import type { State } from "./state.ts"
import { TellingApart } from "./telling-apart.ts"
import type { Dynamics } from "./transition.ts"
import { Variations } from "./variations.ts"

/** Proved lower bounds on the best expected total from a state, money. */
export class Bounds {
  readonly #dynamics: Dynamics
  readonly #costs: KnownStateCosts
  readonly #ruledOut: RuledOut
  /** Undefined where a ruleset is too large for it. */
  readonly #tellingApart: TellingApart | undefined

  constructor(dynamics: Dynamics) {
    const { problem, looks, readings, memories, jobs } = dynamics
    this.#dynamics = dynamics
    this.#costs = new KnownStateCosts(problem, looks, readings, jobs.first.waiting)
    this.#ruledOut = new RuledOut(problem, readings, memories, this.#costs)
    const variations = Variations.of(problem, readings)
    this.#tellingApart =
      variations && new TellingApart(problem, this.#costs, looks, readings, memories, variations)
  }

  /**
   * What is spent if somebody tells the state, and each cure, from here on, less what rules and nevers may take out of
   * the belief before it is spent. The weight of that goes to hypotheses that have spent as much so far.
   */
  of(state: State): number {
    return Math.min(this.#known(state), this.#dynamics.problem.handover)
  }

  /** The same with what it costs besides that nobody tells, which takes a second where there are fifty faults. */
  thorough(state: State): number {
    const { ids, memories } = state
    const lost = (k: number) => this.#ruledOut.chance(intAt(ids, k) >> 2, intAt(memories, k))
    const told = this.#known(state)
    const untold = this.#known(state, true) + (this.#tellingApart?.extra(state, lost) ?? 0)
    return Math.min(Math.max(told, untold), this.#dynamics.problem.handover)
  }

  #known({ job, ids, memories, weights }: State, anytime = false): number {
    const costs = this.#costs.from(job, anytime)
    let sum = 0
    for (let k = 0; k < ids.length; k++) {
      const state = intAt(ids, k) >> 2
      const loss = this.#ruledOut.loss(state, intAt(memories, k))
      if (loss === Number.POSITIVE_INFINITY) continue
      sum += floatAt(weights, k) * Math.max(0, costs(state, intAt(ids, k) & 3, loss > 0) - loss)
    }
    return sum
  }

  /** The same where a certain step comes first, by step. */
  byFirst(state: State): (step: number) => number {
    const { steps } = this.#dynamics.problem
    const least = this.of(state)
    const anytime = Math.min(this.#known(state, true), this.#dynamics.problem.handover)
    // A finding doesn't change what the state costs, but it may be one that other steps wait for.
    return (step) =>
      itemAt(steps, step).reads.length > 0 ? Math.max(least, itemAt(steps, step).cost + anytime) : least
  }
}
