import { Estimate } from "./estimate.ts"
import { allOf } from "./fault-states.ts"
import { DONE, type Fitted, GONE, STAYS } from "./job.ts"
import { awaitedIn } from "./problem.ts"
import type { State } from "./state.ts"
import type { Step, StepKind } from "./steps.ts"
import type { Dynamics } from "./transition.ts"

/** A step and what the job is estimated to cost with it first. */
export interface Prospect {
  readonly step: number
  readonly value: number
}

/** Of steps of equal value the one that ends the job or says most comes first, and what is for nothing last. */
const ORDER: readonly StepKind[] = [
  "close",
  "redoes",
  "swaps",
  "removes",
  "reads",
  "told",
  "keep",
  "putBack",
  "replace",
  "fix",
  "takeOut",
  "look",
]

/** Values closer than this, in money, are equal. */
const EQUAL = 1e-9

/**
 * So many hypotheses, the likeliest, stand for all where a step is judged. The estimate reads nothing more, so of many
 * it would say that reading hardly helps; more makes dearer plans (test/bench/README.md).
 */
const JUDGED = 6

/** The base policy: one step ahead by the estimate of what follows. */
export class Greedy {
  readonly #dynamics: Dynamics
  readonly #estimate: Estimate
  /** By fault: 1 where it may be uncured in the state at hand. */
  readonly #uncured: Uint8Array
  /** By step: whether another step waits for it or for what it finds. */
  readonly #isAwaited: readonly boolean[]

  constructor(dynamics: Dynamics) {
    this.#dynamics = dynamics
    this.#estimate = new Estimate(dynamics.problem)
    this.#uncured = new Uint8Array(dynamics.problem.place.length)
    const awaited = awaitedIn(dynamics.problem)
    this.#isAwaited = dynamics.problem.steps.map(
      ({ test, reads }) => awaited.tests.has(test) || reads.some((reading) => awaited.readings.has(reading)),
    )
  }

  /** Every step that may be done, the most promising first. */
  prospects(state: State): Prospect[] {
    const judged = likeliest(state)
    this.#estimate.enter(state.job, true)
    this.#markUncured(judged)
    const prospects = state.job.steps.map((step) => ({ step, value: this.#value(judged, step) }))
    const money = ({ value }: Prospect) => Math.round(value / EQUAL)
    const rank = ({ step }: Prospect) => ORDER.indexOf(this.#dynamics.problem.steps[step]!.kind)
    return prospects.sort((a, b) =>
      money(a) === money(b) ? rank(a) - rank(b) || a.step - b.step : a.value - b.value,
    )
  }

  /** The step that the base policy does; undefined: it hands over. */
  best(state: State): number | undefined {
    const first = this.prospects(state)[0]
    return first !== undefined && first.value < this.#dynamics.problem.handover ? first.step : undefined
  }

  #value(state: State, index: number): number {
    const dynamics = this.#dynamics
    const estimate = this.#estimate
    const { steps, tryCost } = dynamics.problem
    const step = steps[index]!
    if (step.kind === "close") return this.#valueOfClosing(state, index)
    if (this.#isIdle(state, step, index)) return dynamics.problem.handover + step.cost
    const labels = dynamics.weigh(state, index)
    const { branching } = dynamics
    if (branching.total === 0) return Number.POSITIVE_INFINITY
    let value = step.cost + (branching.tries / branching.total) * tryCost
    const isRead = step.reads.length > 0
    labels.forEach((label, o) => {
      const chance = branching.chance(o)
      if (chance === 0) return
      const standing = {
        out: dynamics.out.after(state.job, step, isRead ? DONE : label),
        fitted: fittedAfter(state.job.fitted, step, label),
        isGone: isRead || step.kind === "keep" ? state.job.isGone : label === GONE && step.kind !== "removes",
        closing: state.job.closing,
      }
      value += chance * estimate.of(branching.gathered(o), standing, index)
    })
    return value
  }

  #markUncured({ ids }: State): void {
    const { states } = this.#dynamics.problem
    this.#uncured.fill(0)
    for (const id of ids) {
      const uncured = allOf(states, id >> 2) & ~(id & 3)
      if ((uncured & 1) !== 0) this.#uncured[states.first[id >> 2]!] = 1
      if ((uncured & 2) !== 0) this.#uncured[states.second[id >> 2]!] = 1
    }
  }

  /** Whether a step can't change what is thought of the machine, but by its look, and opens no other. */
  #isIdle({ ids }: State, { kind, reads, cured, parts }: Step, index: number): boolean {
    const uncured = this.#uncured
    if (reads.length > 0) return ids.length === 1 && !this.#isAwaited[index]
    if (kind === "look" || kind === "takeOut" || kind === "putBack" || kind === "keep") return false
    if (cured.some((fault) => uncured[fault] === 1)) return false
    if (kind !== "swaps" && kind !== "removes") return true
    return !this.#dynamics.problem.place.some((place, fault) => uncured[fault] === 1 && parts.includes(place))
  }

  #valueOfClosing(state: State, index: number): number {
    const { outcomes, cost } = this.#dynamics.after(state, index)
    if (outcomes.length === 0) return Number.POSITIVE_INFINITY
    let value = cost
    for (const { chance, state: next } of outcomes) {
      if (next === undefined) continue
      const standing = { out: next.job.out, fitted: [], isGone: false, closing: next.job.closing }
      value += chance * this.#estimate.of({ ...next, size: next.ids.length }, standing, index)
    }
    return value
  }
}

/** The likeliest hypotheses of a state, in their order, their weights scaled to sum 1. */
function likeliest(state: State): State {
  if (state.ids.length <= JUDGED) return state
  const { weights } = state
  const order: number[] = []
  for (let k = 0; k < weights.length; k++) {
    if (order.length === JUDGED && weights[order[JUDGED - 1]!]! >= weights[k]!) continue
    let at = Math.min(order.length, JUDGED - 1)
    for (; at > 0 && weights[order[at - 1]!]! < weights[k]!; at--) order[at] = order[at - 1]!
    order[at] = k
  }
  order.sort((a, b) => a - b)
  const sum = order.reduce((so, k) => so + weights[k]!, 0)
  return {
    job: state.job,
    ids: Int32Array.from(order, (k) => state.ids[k]!),
    memories: Int32Array.from(order, (k) => state.memories[k]!),
    weights: Float64Array.from(order, (k) => weights[k]! / sum),
  }
}

function fittedAfter(fitted: readonly Fitted[], step: Step, label: number): readonly Fitted[] {
  const { kind, parts, test, leaveIn, subject } = step
  if (kind === "swaps") {
    if (label === STAYS && !leaveIn) return fitted
    return [...fitted, ...parts.map((part) => ({ part, test, leftIn: label === STAYS }))]
  }
  if (kind !== "takeOut" && kind !== "putBack" && kind !== "keep") return fitted
  return fitted.filter(({ part }) => part !== subject)
}
