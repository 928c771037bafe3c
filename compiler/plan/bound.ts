import { KnownStateCosts } from "./known-state.ts"
import { RuledOut } from "./ruled-out.ts"
import type { State } from "./state.ts"
import { TellingApart } from "./telling-apart.ts"
import type { Dynamics } from "./transition.ts"

/** Proved lower bounds on the best expected total from a state, money. */
export class Bounds {
  readonly #dynamics: Dynamics
  readonly #costs: KnownStateCosts
  readonly #ruledOut: RuledOut
  readonly #tellingApart: TellingApart

  constructor(dynamics: Dynamics) {
    const { problem, looks, readings, memories, jobs } = dynamics
    this.#dynamics = dynamics
    this.#costs = new KnownStateCosts(problem, looks, readings, jobs.first.waiting)
    this.#ruledOut = new RuledOut(problem, readings, memories, this.#costs)
    this.#tellingApart = new TellingApart(problem, this.#costs, looks, readings, memories)
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
    const lost = (k: number) => this.#ruledOut.chance(ids[k]! >> 2, memories[k]!)
    const told = this.#known(state)
    const untold = this.#known(state, true) + this.#tellingApart.extra(state, lost)
    return Math.min(Math.max(told, untold), this.#dynamics.problem.handover)
  }

  #known({ job, ids, memories, weights }: State, anytime = false): number {
    const costs = this.#costs.from(job, anytime)
    let sum = 0
    for (let k = 0; k < ids.length; k++) {
      const state = ids[k]! >> 2
      const loss = this.#ruledOut.loss(state, memories[k]!)
      if (loss === Number.POSITIVE_INFINITY) continue
      sum += weights[k]! * Math.max(0, costs(state, ids[k]! & 3, loss > 0) - loss)
    }
    return sum
  }

  /** The same where a certain step comes first, by step. */
  byFirst(state: State): (step: number) => number {
    const { steps } = this.#dynamics.problem
    const least = this.of(state)
    const anytime = Math.min(this.#known(state, true), this.#dynamics.problem.handover)
    // A finding doesn't change what the state costs, but it may be one that other steps wait for.
    return (step) => (steps[step]!.reads.length > 0 ? Math.max(least, steps[step]!.cost + anytime) : least)
  }
}
