import { KnownStateCosts } from "./known-state.ts"
import { safeStates } from "./ruled-out.ts"
import type { State } from "./state.ts"
import type { Dynamics } from "./transition.ts"

/** Proved lower bounds on the best expected total from a state, money. */
export class Bounds {
  private readonly dynamics: Dynamics
  private readonly costs: KnownStateCosts
  private readonly isSafe: Uint8Array

  constructor(dynamics: Dynamics) {
    this.dynamics = dynamics
    this.costs = new KnownStateCosts(dynamics.problem, dynamics.looks, dynamics.readings)
    this.isSafe = safeStates(dynamics.problem, dynamics.readings)
  }

  /** What is spent if somebody tells the state, and each cure, from here on. */
  of({ job, ids, weights }: State): number {
    const costs = this.costs.from(job)
    let sum = 0
    for (let k = 0; k < ids.length; k++) {
      const state = ids[k]! >> 2
      if (this.isSafe[state]) sum += weights[k]! * costs(state, ids[k]! & 3)
    }
    return Math.min(sum, this.dynamics.problem.handover)
  }

  /** The same where a certain step comes first, by step. */
  byFirst(state: State): (step: number) => number {
    const { steps } = this.dynamics.problem
    const least = this.of(state)
    // A finding doesn't change what the state costs.
    return (step) => (steps[step]!.reads.length > 0 ? steps[step]!.cost + least : least)
  }
}
