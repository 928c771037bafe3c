import { allOf } from "./fault-states.ts"
import type { Job } from "./job.ts"
import { type Looks, triesMade } from "./looks.ts"
import type { Problem } from "./problem.ts"
import { ProofSets } from "./proof-sets.ts"
import type { Readings } from "./readings.ts"
import type { Step } from "./steps.ts"

/** What is known of a job whose state is known: faults as masks of the state's own. */
interface Known {
  readonly state: number
  readonly uncured: number
  /** Faults whose part has been fitted. */
  readonly fitted: number
  /** Number of the set of proofs that count. */
  readonly proofs: number
  /** Money that closing takes besides the proof run. */
  readonly extra: number
}

/**
 * What a job costs at least, of which the state of the machine and every cure are known from the start: a relaxation of
 * the whole problem (Hauskrecht 2000, "MDP approximation"), relaxed once more in that everything may be done at any
 * time and again. What is left is a stochastic shortest path over the faults that are cured, the parts that have been
 * fitted and the proofs that count; all only grow, so each value follows from later ones: the least, over the steps, of
 * (cost + Σ P·value) / (1 − P of nothing happening).
 */
export class KnownStateCosts {
  readonly #problem: Problem
  readonly #looks: Looks
  readonly #proofs: ProofSets
  readonly #everyProof: number
  /** By fault: the steps that can cure it, or fit its part. */
  readonly #relevant: readonly (readonly number[])[]
  /** By part: the steps that take it out of the machine. */
  readonly #unfits = new Map<number, Step[]>()
  readonly #following = new Map<number, ReadonlySet<number>>()
  /** By set of proofs, by `extra`: the values known. */
  readonly #tables: Map<number, Map<number, number>>[] = []

  constructor(problem: Problem, looks: Looks, readings: Readings) {
    const { model, steps, place } = problem
    this.#problem = problem
    this.#looks = looks
    this.#proofs = new ProofSets(problem, looks, readings)
    this.#everyProof = this.#proofs.number([...model.proofs.keys()])
    this.#relevant = model.faults.map((_, fault) =>
      [...steps.keys()].filter((index) => {
        const { kind, parts, cures } = steps[index]!
        // What a put back cures, the swap of its test cures at the same cost.
        if (kind === "putBack") return false
        return cures[fault]! > 0 || (kind === "swaps" && parts.includes(place[fault]!))
      }),
    )
    for (const step of steps) {
      if (step.kind !== "keep" && step.kind !== "putBack") continue
      this.#unfits.set(step.subject, [...(this.#unfits.get(step.subject) ?? []), step])
    }
  }

  /** The same with all proofs counting, where only parts of the state's own faults are fitted. */
  remaining(state: number, uncured: number, fitted: number): number {
    return this.#value({ state, uncured, fitted, proofs: this.#everyProof, extra: 0 })
  }

  /**
   * A lower bound on what the job costs from here on, by the state of the machine and its cured faults; `isBare`: what
   * it costs to take other parts out isn't counted.
   */
  from(job: Job): (state: number, cured: number, isBare: boolean) => number {
    const { states, place } = this.#problem
    const proofs = this.#proofs.number(job.proofs)
    return (state, cured, isBare) => {
      const uncured = allOf(states, state) & ~cured
      let extra = 0
      let fitted = 0
      for (const each of job.fitted) {
        const isIn = (bit: number, fault: number) =>
          fault >= 0 && (uncured & bit) !== 0 && place[fault] === each.part ? bit : 0
        const its = isIn(1, states.first[state]!) | isIn(2, states.second[state]!)
        fitted |= its
        if (!isBare && !each.leftIn && its === 0)
          extra += this.unfitting(each.part, each.test, state, uncured)
      }
      return this.#value({ state, uncured, fitted, proofs, extra })
    }
  }

  /**
   * What a step that changes something for the one fault of a state costs at least beyond the known-state cost,
   * whichever proofs have come to count by then, and whether the part that is fitted has left the machine.
   */
  regretOf(job: Job, state: number, cured: number, index: number): number {
    const here = this.#standing(job, state, cured)
    let least = Number.POSITIVE_INFINITY
    for (const proofs of this.#reachable(here.proofs))
      for (const extra of new Set([0, here.extra]))
        least = Math.min(least, this.#regret(index, { ...here, proofs, extra }))
    return Math.max(0, least)
  }

  /** The same of closing. */
  regretOfClosing(job: Job, state: number, cured: number): number {
    const here = this.#standing(job, state, cured)
    if (here.uncured === 0) return 0
    if (here.fitted !== 0 || this.#comeback(here) === Number.POSITIVE_INFINITY)
      return Number.POSITIVE_INFINITY
    let least = Number.POSITIVE_INFINITY
    for (const proofs of this.#reachable(here.proofs))
      for (const extra of new Set([0, here.extra])) {
        const at = { ...here, proofs, extra }
        const holds = this.#proofs.holds(proofs, state, here.uncured)
        const cost = this.#proofs.cost(proofs)
        least = Math.min(least, cost, cost + holds * (this.#problem.comeback - this.#value(at)))
      }
    return Math.max(0, least)
  }

  #standing(job: Job, state: number, cured: number): Known {
    const { states, place } = this.#problem
    const uncured = allOf(states, state) & ~cured
    const first = states.first[state]!
    let extra = 0
    let fitted = 0
    for (const { part, test, leftIn } of job.fitted) {
      if (uncured !== 0 && first >= 0 && place[first] === part) fitted = 1
      else if (!leftIn) extra += this.unfitting(part, test, state, uncured)
    }
    return { state, uncured, fitted, proofs: this.#proofs.number(job.proofs), extra }
  }

  /** Sets of proofs that may come to count. */
  #reachable(proofs: number): ReadonlySet<number> {
    let found = this.#following.get(proofs)
    if (found === undefined) {
      const sets = new Set([proofs])
      for (const set of sets)
        for (const index of this.#problem.steps.keys()) sets.add(this.#proofs.after(set, index))
      found = sets
      this.#following.set(proofs, found)
    }
    return found
  }

  #regret(index: number, here: Known): number {
    const { states, steps, tryCost } = this.#problem
    const { state, uncured } = here
    const step = steps[index]!
    const done = this.#done(step, index, here)
    if (done === undefined) return Number.POSITIVE_INFINITY
    const cures = step.cures[states.first[state]!]!
    let cost = step.cost
    for (const [left, chance] of [
      [uncured, 1 - cures],
      [0, cures],
    ] as const) {
      if (chance === 0) continue
      const seen = step.kind === "removes" ? uncured : left
      if (step.tries > 0 && tryCost > 0)
        cost += chance * tryCost * triesMade(this.#looks.quiet(state, seen), step.tries)
      cost += chance * this.#value({ ...done, uncured: left, fitted: done.fitted & left })
    }
    return cost - this.#value(here)
  }

  /** What it costs at least that a part leaves the machine; 0 where that may cure something besides. */
  unfitting(part: number, test: number, state: number, uncured: number): number {
    const { first, second } = this.#problem.states
    let least = Number.POSITIVE_INFINITY
    for (const { kind, test: by, cost, cures } of this.#unfits.get(part) ?? []) {
      if (kind === "putBack" && by !== test) continue
      if ((uncured & 1) !== 0 && cures[first[state]!]! > 0) return 0
      if ((uncured & 2) !== 0 && cures[second[state]!]! > 0) return 0
      least = Math.min(least, cost)
    }
    return least
  }

  #value(here: Known): number {
    const { states, handover } = this.#problem
    if (states.first[here.state]! < 0) return handover
    if (here.uncured === 0) return Math.min(handover, this.#closing(here))
    this.#tables[here.proofs] ??= new Map()
    let table = this.#tables[here.proofs]!.get(here.extra)
    if (table === undefined) {
      table = new Map()
      this.#tables[here.proofs]!.set(here.extra, table)
    }
    const at = 16 * here.state + 4 * here.uncured + here.fitted
    const known = table.get(at)
    if (known !== undefined) return known
    const made = this.#work(here)
    table.set(at, made)
    return made
  }

  #work(here: Known): number {
    const { states, handover } = this.#problem
    let least = Math.min(handover, this.#comeback(here) + this.#closing(here))
    if ((here.uncured & 1) !== 0)
      for (const index of this.#relevant[states.first[here.state]!]!)
        least = Math.min(least, this.#byStep(index, here))
    if ((here.uncured & 2) !== 0)
      for (const index of this.#relevant[states.second[here.state]!]!)
        least = Math.min(least, this.#byStep(index, here))
    return least
  }

  #closing({ proofs, state, uncured, extra }: Known): number {
    return this.#proofs.untilHeld(proofs, state, uncured) + extra
  }

  /** What it costs at least to close with these faults active: one that always shows the complaint never lets it go. */
  #comeback({ state, uncured }: Known): number {
    const { states, quiet, comeback } = this.#problem
    if ((uncured & 1) !== 0 && quiet[states.first[state]!] === 0) return Number.POSITIVE_INFINITY
    if ((uncured & 2) !== 0 && quiet[states.second[state]!] === 0) return Number.POSITIVE_INFINITY
    return comeback
  }

  #byStep(index: number, here: Known): number {
    const { states, steps, tryCost } = this.#problem
    const { state, uncured } = here
    const step = steps[index]!
    const done = this.#done(step, index, here)
    if (done === undefined) return Number.POSITIVE_INFINITY
    const isNew = done.fitted !== here.fitted || done.proofs !== here.proofs
    const chance = (bit: number, fault: number) => ((uncured & bit) === 0 ? 0 : step.cures[fault]!)
    const a = chance(1, states.first[state]!)
    const b = chance(2, states.second[state]!)
    let cost = step.cost
    let nothing = 0
    for (let more = 0; more < 4; more++) {
      const p = ((more & 1) === 0 ? 1 - a : a) * ((more & 2) === 0 ? 1 - b : b)
      if (p === 0) continue
      const left = uncured & ~more
      // What is out of the machine doesn't show the complaint, which takes more tries; the least are counted.
      const seen = step.kind === "removes" ? uncured : left
      if (step.tries > 0 && tryCost > 0)
        cost += p * tryCost * triesMade(this.#looks.quiet(state, seen), step.tries)
      if (left === uncured && !isNew) nothing += p
      else cost += p * this.#value({ ...done, uncured: left, fitted: done.fitted & left })
    }
    return nothing >= 1 ? Number.POSITIVE_INFINITY : cost / (1 - nothing)
  }

  /** Where a step leads before anything is cured; undefined where it can't be done. */
  #done(step: Step, index: number, here: Known): Known | undefined {
    const its = this.#among(step, here.state)
    if (step.kind === "keep" && (its & here.fitted) === 0) return undefined
    const fitted = here.fitted | (step.kind === "swaps" ? its & here.uncured : 0)
    return { ...here, fitted, proofs: this.#proofs.after(here.proofs, index) }
  }

  /** Faults of the state that lie in the parts of a step, as a mask. */
  #among({ parts }: Step, state: number): number {
    const { states, place } = this.#problem
    const first = states.first[state]!
    const second = states.second[state]!
    return (
      (first >= 0 && parts.includes(place[first]!) ? 1 : 0) |
      (second >= 0 && parts.includes(place[second]!) ? 2 : 0)
    )
  }
}
