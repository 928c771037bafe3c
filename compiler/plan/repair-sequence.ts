import { Estimate } from "./estimate.ts"
import { type Figures, figuresOf, handingOver } from "./expected.ts"
import type { Fitted } from "./job.ts"
import { Scratch, type State } from "./state.ts"
import type { StepKind } from "./steps.ts"
import type { Dynamics, Transition } from "./transition.ts"

/** A policy from one state on, as a tree: a step and what follows each of its outcomes, or handing over. */
export interface Sequence {
  readonly state: State
  /** Undefined where the job is handed over. */
  readonly step: { readonly index: number; readonly transition: Transition } | undefined
  /** By outcome after which the job goes on, in their order. */
  readonly after: readonly { readonly chance: number; readonly sequence: Sequence }[]
  readonly figures: Figures
}

/** Branches of less chance are handed over, and so is what comes after so many steps. */
const FAINT = 0.001
const LONGEST = 40

/**
 * Ends a job without reading anything more: remedies in the order of chance for cost, with a look after each, until the
 * complaint is gone and the job may be closed, or handing over is cheaper ("expected cost of repair", Heckerman, Breese
 * and Rommelse 1995). It hardly branches, so what it costs is worked out exactly and at once: where nobody has looked
 * any further, this is what a job costs at most.
 */
export class RepairSequence {
  readonly #dynamics: Dynamics
  readonly #estimate: Estimate
  readonly #close: number
  readonly #givenUp: Figures
  /** By part: the steps with which it leaves the machine. */
  readonly #unfitting = new Map<number, number[]>()
  readonly #scratch = new Scratch()

  constructor(dynamics: Dynamics) {
    this.#dynamics = dynamics
    this.#close = dynamics.problem.steps.findIndex(({ kind }) => kind === "close")
    this.#estimate = new Estimate(dynamics.problem)
    this.#givenUp = handingOver(dynamics.problem)
    for (const [index, { kind, subject }] of dynamics.problem.steps.entries())
      if (kind === "keep" || kind === "putBack" || kind === "takeOut")
        this.#unfitting.set(subject, [...(this.#unfitting.get(subject) ?? []), index])
  }

  from(state: State): Sequence {
    return this.#follow(state, 1, LONGEST)
  }

  /** What it costs and does from a state on. */
  figures(state: State): Figures {
    return this.#follow(state, 1, LONGEST, this.#scratch).figures
  }

  #follow(state: State, chance: number, longest: number, scratch?: Scratch): Sequence {
    const { problem } = this.#dynamics
    const givenUp: Sequence = { state, step: undefined, after: [], figures: this.#givenUp }
    if (chance < FAINT || longest === 0) return givenUp
    const index = this.firstOf(state)
    if (index === undefined) return givenUp
    const mark = scratch?.mark ?? 0
    const transition = this.#dynamics.after(state, index, scratch)
    if (transition.outcomes.length === 0) return givenUp
    let total = transition.cost
    const after: { chance: number; sequence: Sequence; figures: Figures }[] = []
    for (const outcome of transition.outcomes) {
      if (outcome.state === undefined) continue
      if (total >= problem.handover) break
      const sequence = this.#follow(outcome.state, chance * outcome.chance, longest - 1, scratch)
      total += outcome.chance * sequence.figures.total
      after.push({ chance: outcome.chance, sequence, figures: sequence.figures })
    }
    if (scratch) scratch.mark = mark
    if (total >= problem.handover) return givenUp
    const figures = figuresOf(problem, state, problem.steps[index]!, transition, after)
    return { state, step: { index, transition }, after, figures }
  }

  /** The step that it begins with, of a state from which it is worth its cost; undefined: there is none. */
  firstOf(state: State): number | undefined {
    const { job } = state
    const [fitted] = job.fitted
    if (fitted !== undefined) return this.#unfit(state, fitted)
    const weighted = { ...state, size: state.ids.length }
    if (job.isGone && this.#estimate.soundness(weighted, job.out) >= this.#dynamics.problem.trust)
      return this.#close
    this.#estimate.enter(job, false)
    return this.#estimate.first(weighted, job.out)
  }

  /** A part that is fitted is bought, or goes back to see; what was left in comes out. */
  #unfit(state: State, { part, leftIn }: Fitted): number | undefined {
    const { job } = state
    const { steps, model } = this.#dynamics.problem
    const its = (kind: StepKind) =>
      this.#unfitting.get(part)?.find((index) => steps[index]!.kind === kind && job.isOpen(index, false))
    const [keep, back] = [its("keep"), its("putBack")]
    if (leftIn && !job.isGone) return its("takeOut")
    if (keep === undefined || back === undefined) return keep ?? back
    const bad = this.#estimate.badness(part, { ...state, size: state.ids.length })
    const price = model.places[part]!.price
    const cost = this.#estimate.costOf(back)
    return price <= cost + bad * (price + cost) ? keep : back
  }
}
