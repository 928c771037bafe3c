import type { Closing } from "./closing.ts"
import { allOf } from "./fault-states.ts"
import type { Fitted, Job } from "./job.ts"
import type { Problem } from "./problem.ts"
import { type Remedy, remediesOf } from "./remedies.ts"
import type { Weighted } from "./state.ts"

/** Where a job stands after a step, as far as the estimate asks. */
export interface AfterStep {
  readonly out: Uint8Array
  readonly fitted: readonly Fitted[]
  readonly isGone: boolean
  readonly closing: Closing
}

/**
 * Estimates what a job costs from here on if nothing more is read: remedies are tried in the order of chance for cost,
 * with a look after each, until the complaint is gone or handing over is cheaper ("expected cost of repair",
 * Heckerman, Breese and Rommelse 1995). It counts each fault of a pair as half a fault and lets a remedy cure only the
 * faults that it is the best for, so it is no bound; it only says which steps to try first.
 */
export class Estimate {
  readonly #problem: Problem
  readonly #remedies: readonly (readonly Remedy[])[]
  /** By fault: the remedy that counts in the job at hand; undefined where there is none. */
  readonly #counting: (Remedy | undefined)[]
  readonly #second: (Remedy | undefined)[]
  readonly #active: Float64Array
  /** Faults of which that isn't 0. */
  readonly #touched: number[] = []
  readonly #gain: Float64Array
  readonly #extra: Float64Array
  readonly #worth: Float64Array
  /** By fault: when the two were worked out, counted in jobs. */
  readonly #workedOut: Uint32Array
  #job: Job | undefined
  #ahead = false
  #entered = 0
  readonly #tried: number[] = []
  readonly #price: Float64Array

  constructor(problem: Problem) {
    const faults = problem.model.faults.length
    this.#problem = problem
    this.#remedies = remediesOf(problem)
    this.#counting = new Array<Remedy | undefined>(faults).fill(undefined)
    this.#second = [...this.#counting]
    this.#active = new Float64Array(faults)
    this.#workedOut = new Uint32Array(faults)
    this.#gain = new Float64Array(problem.steps.length)
    this.#extra = new Float64Array(problem.steps.length)
    this.#worth = new Float64Array(problem.steps.length)
    this.#price = Float64Array.from(problem.model.places, (place) => place.price)
  }

  /** Fixes which steps are still open as remedies: those of a job; `ahead`: with those that wait for something. */
  enter(job: Job, ahead: boolean): void {
    this.#job = job
    this.#ahead = ahead
    this.#entered++
  }

  /** Money from here on, per unit of weight; `step` has just been done and won't be done again. */
  of(weighted: Weighted, standing: AfterStep, done: number): number {
    const { handover, comeback, trust } = this.#problem
    const { total, nothing, unlisted } = this.#divide(weighted, standing.out)
    if (total === 0) return 0
    const closing = standing.closing.cost + this.#unfitting(weighted, standing, total)
    this.#group(done)
    const wrong = total - nothing
    if (!standing.isGone) return Math.min(handover, this.#seek(wrong, closing, unlisted) / total + closing)
    return Math.min(handover, this.#settle(wrong / total, closing, total, comeback, 1 - trust))
  }

  /** Weight of nothing active. */
  soundness(weighted: Weighted, out: Uint8Array): number {
    return this.#divide(weighted, out).nothing
  }

  /** The remedy of most chance for its cost; undefined where none is open. */
  first(weighted: Weighted, out: Uint8Array): number | undefined {
    this.#divide(weighted, out)
    this.#collect(-1)
    let first: number | undefined
    let most = 0
    for (const step of this.#tried) {
      const worth = this.#gain[step]! / (this.costOf(step) + 1e-6)
      if (first !== undefined && (worth < most || (worth === most && step > first))) continue
      first = step
      most = worth
    }
    return first
  }

  /** Fills `active` with the weight of each fault; returns all weight, and that of nothing active and of what isn't listed. */
  #divide(weighted: Weighted, out: Uint8Array): { total: number; nothing: number; unlisted: number } {
    const active = this.#active
    const { first, second } = this.#problem.states
    const { ids, weights, size } = weighted
    for (const fault of this.#touched) active[fault] = 0
    this.#touched.length = 0
    let total = 0
    let nothing = 0
    let unlisted = 0
    for (let k = 0; k < size; k++) {
      const weight = weights[k]!
      const id = ids[k]!
      const f = first[id >> 2]!
      const g = second[id >> 2]!
      total += weight
      if (f < 0) {
        unlisted += weight
        continue
      }
      const hasF = (id & 1) === 0 && out[f] === 0
      const hasG = g >= 0 && (id & 2) === 0 && out[g] === 0
      if (hasF && hasG) {
        this.#weigh(f, weight / 2)
        this.#weigh(g, weight / 2)
      } else if (hasF) this.#weigh(f, weight)
      else if (hasG) this.#weigh(g, weight)
      else nothing += weight
    }
    return { total, nothing, unlisted }
  }

  #weigh(fault: number, weight: number): void {
    if (this.#active[fault] === 0) this.#touched.push(fault)
    this.#active[fault]! += weight
  }

  /** Cost of trying remedies until the complaint is gone; `closing` is added elsewhere. */
  #seek(wrong: number, closing: number, unlisted: number): number {
    const { handover } = this.#problem
    // Whoever hands over doesn't close.
    const give = handover - closing
    let rest = wrong
    let cost = 0
    let least = rest * give
    for (const step of this.#tried) {
      cost += rest * this.costOf(step) + this.#extra[step]!
      rest = Math.max(unlisted, rest - this.#gain[step]!)
      least = Math.min(least, cost + rest * give)
    }
    return least
  }

  /** Cost of making sure enough that nothing is active although the complaint is gone, and of closing. */
  #settle(wrong: number, closing: number, total: number, comeback: number, doubt: number): number {
    let rest = wrong
    let cost = closing
    let least = rest <= doubt + 1e-9 ? cost + rest * comeback : Number.POSITIVE_INFINITY
    for (const step of this.#tried) {
      cost += this.costOf(step) + this.#extra[step]! / total
      rest -= this.#gain[step]! / total
      if (rest <= doubt + 1e-9) least = Math.min(least, cost + Math.max(0, rest) * comeback)
    }
    return least
  }

  /** Money of a step, each try of its look counted. */
  costOf(step: number): number {
    return this.#problem.steps[step]!.cost + this.#problem.steps[step]!.tries * this.#problem.tryCost
  }

  /** Sums up, by remedy, the weight of the faults that it counts for, and sorts remedies by that for their cost. */
  #group(done: number): void {
    this.#collect(done)
    for (const step of this.#tried) this.#worth[step] = this.#gain[step]! / (this.costOf(step) + 1e-6)
    const worth = this.#worth
    this.#tried.sort((a, b) => worth[b]! - worth[a]! || a - b)
  }

  #collect(done: number): void {
    const gain = this.#gain
    const extra = this.#extra
    const tried = this.#tried
    const active = this.#active
    for (const step of tried) {
      gain[step] = 0
      extra[step] = 0
    }
    tried.length = 0
    // In their order, so that sums come out the same.
    for (const fault of this.#touched.sort((a, b) => a - b)) {
      const weight = active[fault]!
      if (this.#workedOut[fault] !== this.#entered) this.#workOut(fault)
      let remedy = this.#counting[fault]
      if (remedy?.step === done) remedy = this.#second[fault]
      if (remedy === undefined) continue
      if (gain[remedy.step] === 0) tried.push(remedy.step)
      gain[remedy.step]! += weight * remedy.chance
      extra[remedy.step]! += weight * remedy.chance * remedy.extra
    }
  }

  /** The two best remedies of a fault that are open. */
  #workOut(fault: number): void {
    this.#workedOut[fault] = this.#entered
    this.#counting[fault] = undefined
    this.#second[fault] = undefined
    for (const remedy of this.#remedies[fault]!) {
      if (!this.#job!.isOpen(remedy.step, this.#ahead)) continue
      if (this.#counting[fault] === undefined) this.#counting[fault] = remedy
      else {
        this.#second[fault] = remedy
        return
      }
    }
  }

  /** What it costs that fitted parts leave the machine: the shop buys them, or they are put back to see. */
  #unfitting(weighted: Weighted, { fitted }: AfterStep, total: number): number {
    let cost = 0
    for (const { part, test, leftIn } of fitted) {
      const bad = this.badness(part, weighted)
      const price = this.#price[part]!
      const back = leftIn ? 0 : this.#backCost(part, test)
      cost += Math.min(price, back + (bad / total) * (price + back))
    }
    return cost
  }

  #backCost(part: number, test: number): number {
    const back = this.#problem.steps.findIndex(
      (each) => each.kind === "putBack" && each.subject === part && each.test === test,
    )
    return back < 0 ? 0 : this.costOf(back)
  }

  /** Weight of the hypotheses of which an uncured fault lies in a part. */
  badness(part: number, { ids, weights, size }: Weighted): number {
    let bad = 0
    for (let k = 0; k < size; k++) if (this.#isIn(part, ids[k]!)) bad += weights[k]!
    return bad
  }

  #isIn(part: number, id: number): boolean {
    const { states, place } = this.#problem
    const state = id >> 2
    const uncured = allOf(states, state) & ~(id & 3)
    return (
      ((uncured & 1) !== 0 && place[states.first[state]!] === part) ||
      ((uncured & 2) !== 0 && place[states.second[state]!] === part)
    )
  }
}
