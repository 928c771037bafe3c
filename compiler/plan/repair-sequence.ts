import { Estimate } from "./estimate.ts"
import { activeOf } from "./fault-states.ts"
import type { Fitted } from "./job.ts"
import type { State } from "./state.ts"
import type { Dynamics, Transition } from "./transition.ts"

/** A policy from one state on, as a tree: a step and what follows each of its outcomes, or handing over. */
export interface Sequence {
  readonly state: State
  /** Undefined where the job is handed over. */
  readonly step: { readonly index: number; readonly transition: Transition } | undefined
  /** By outcome after which the job goes on, in their order. */
  readonly after: readonly Sequence[]
  readonly total: number
}

/** Branches of less chance are handed over, and so is what comes after so many steps. */
const FAINT = 0.003
const LONGEST = 40

/**
 * Ends a job without reading anything more: remedies in the order of chance for cost, with a look after each, until the
 * complaint is gone and the job may be closed, or handing over is cheaper ("expected cost of repair", Heckerman, Breese
 * and Rommelse 1995). It hardly branches, so what it costs is worked out exactly and at once: where nobody has looked
 * any further, this is what a job costs at most.
 */
export class RepairSequence {
  private readonly dynamics: Dynamics
  private readonly estimate: Estimate
  private readonly close: number

  constructor(dynamics: Dynamics) {
    this.dynamics = dynamics
    this.close = dynamics.problem.steps.findIndex(({ kind }) => kind === "close")
    this.estimate = new Estimate(dynamics.problem)
  }

  from(state: State): Sequence {
    return this.follow(state, 1, LONGEST)
  }

  private follow(state: State, chance: number, longest: number): Sequence {
    const { handover } = this.dynamics.problem
    const givenUp: Sequence = { state, step: undefined, after: [], total: handover }
    if (chance < FAINT || longest === 0) return givenUp
    const index = this.next(state)
    if (index === undefined) return givenUp
    const transition = this.dynamics.after(state, index)
    if (transition.outcomes.length === 0) return givenUp
    let total = transition.cost
    const after: Sequence[] = []
    for (const outcome of transition.outcomes) {
      if (outcome.state === undefined) continue
      if (total >= handover) return givenUp
      const next = this.follow(outcome.state, chance * outcome.chance, longest - 1)
      total += outcome.chance * next.total
      after.push(next)
    }
    return total < handover ? { state, step: { index, transition }, after, total } : givenUp
  }

  /** Chance that nothing is active. */
  private soundness({ job, ids, weights }: State): number {
    const { states } = this.dynamics.problem
    let sound = 0
    for (let k = 0; k < ids.length; k++) {
      const state = ids[k]! >> 2
      const isListed = states.first[state]! >= 0
      if (isListed && activeOf(states, state, ids[k]! & 3, job.out) === 0) sound += weights[k]!
    }
    return sound
  }

  private next(state: State): number | undefined {
    const { job } = state
    const [fitted] = job.fitted
    if (fitted !== undefined) return this.unfit(state, fitted)
    if (job.isGone && this.soundness(state) >= this.dynamics.problem.trust) return this.close
    this.estimate.enter(job.steps)
    return this.estimate.first({ ...state, size: state.ids.length }, job.out)
  }

  /** A part that is fitted is bought, or goes back to see; what was left in comes out. */
  private unfit({ job, ids, weights }: State, { part, leftIn }: Fitted): number | undefined {
    const { steps, model, tryCost } = this.dynamics.problem
    const its = (kind: string) =>
      job.steps.find((index) => steps[index]!.kind === kind && steps[index]!.subject === part)
    const [keep, back] = [its("keep"), its("putBack")]
    if (leftIn && !job.isGone) return its("takeOut")
    if (keep === undefined || back === undefined) return keep ?? back
    let bad = 0
    for (let k = 0; k < ids.length; k++) if (this.estimate.isIn(part, ids[k]!)) bad += weights[k]!
    const price = model.places[part]!.price
    const cost = steps[back]!.cost + steps[back]!.tries * tryCost
    return price <= cost + bad * (price + cost) ? keep : back
  }
}
