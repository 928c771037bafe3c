import { allOf } from "./fault-states.ts"
import type { Job, Waiting } from "./job.ts"
import { type Looks, triesMade } from "./looks.ts"
import { type Opening, Openings } from "./openings.ts"
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

/** By set of proofs, by `extra`, by the rest of what is known. */
type Tables<Value = number> = Map<number, Map<number, Value>>[]

/** A step, and what a job costs from it on. */
interface First {
  readonly step: number
  readonly cost: number
}

/**
 * What a job costs at least, of which the state of the machine and every cure are known from the start: a relaxation of
 * the whole problem (Hauskrecht 2000, "MDP approximation"), relaxed once more in that everything may be done at any
 * time and again. What is left is a stochastic shortest path over the faults that are cured, the parts that have been
 * fitted and the proofs that count; all only grow, so each value follows from later ones: the least, over the steps, of
 * (cost + Σ P·value) / (1 − P of nothing happening). Only before the first step that changes something it counts what
 * has to be found until that may be done (`openings.ts`).
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
  readonly #tables: Tables = []
  readonly #openings: Openings
  /** By step: money of what has to be done before it in a job that begins, at least. */
  readonly #before: Float64Array
  /** By opening: the same, what is to be found before the first step counted. */
  readonly #opened = new Map<Opening, Tables>()
  readonly #firsts: Tables<readonly First[]> = []

  constructor(problem: Problem, looks: Looks, readings: Readings, start: Waiting) {
    const { model, steps, place } = problem
    this.#problem = problem
    this.#looks = looks
    this.#proofs = new ProofSets(problem, looks, readings)
    this.#openings = new Openings(problem)
    const opening = this.#openings.of(start)
    this.#before = Float64Array.from(opening, (needs) => this.#openings.cost(needs, () => true))
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

  /** At most what `from` ever says of a state of which only these faults are uncured, and these fitted. */
  remaining(state: number, uncured: number, fitted: number): number {
    const here = { state, uncured, fitted, proofs: this.#everyProof, extra: 0 }
    let before = 0
    for (const index of this.#relevantTo(here)) before = Math.max(before, this.#before[index]!)
    return Math.min(this.#problem.handover, this.#value(here) + before)
  }

  /**
   * A lower bound on what the job costs from here on, by the state of the machine and its cured faults; `isBare`: what
   * it costs to take other parts out isn't counted. `anytime`: what has to be found before the first step isn't either.
   */
  from(job: Job, anytime = false): (state: number, cured: number, isBare: boolean) => number {
    const { states, place } = this.#problem
    // A part that is fitted may be put back at once, which may cure what else only a swap that waits does.
    const opening = anytime || job.fitted.length > 0 ? undefined : this.#openings.of(job.waiting)
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
      const here = { state, uncured, fitted, proofs, extra }
      return opening === undefined || uncured === 0 ? this.#value(here) : this.#openedValue(opening, here)
    }
  }

  /** The same as `#value` with what has to be found before the first step that changes something. */
  #openedValue(opening: Opening, here: Known): number {
    if (this.#problem.states.first[here.state]! < 0) return this.#problem.handover
    let tables = this.#opened.get(opening)
    if (tables === undefined) {
      tables = []
      this.#opened.set(opening, tables)
    }
    const table = tableIn(tables, here)
    const at = keyOf(here)
    const known = table.get(at)
    if (known !== undefined) return known
    const made = this.#workOpened(opening, here)
    table.set(at, made)
    return made
  }

  #workOpened(opening: Opening, here: Known): number {
    const value = this.#value(here)
    const firsts = this.#firstsOf(here)
    if (firsts.every(({ step }) => this.#openings.isOpen(opening[step]!))) return value
    const relevant = this.#relevantTo(here)
    const isOther = (step: number) => !relevant.includes(step)
    let least = Math.min(this.#problem.handover, this.#comeback(here) + this.#closing(here))
    for (const { step, cost } of firsts)
      if (cost < least) least = Math.min(least, this.#openings.cost(opening[step]!, isOther) + cost)
    return Math.max(least, value)
  }

  /** What each step that can be done costs with all that follows, each once. */
  #firstsOf(here: Known): readonly First[] {
    const table = tableIn(this.#firsts, here)
    const at = keyOf(here)
    let firsts = table.get(at)
    if (firsts === undefined) {
      const value = this.#value(here)
      firsts = this.#relevantTo(here).flatMap((step): First[] => {
        const after = this.#after(step, here)
        return after === undefined
          ? []
          : [{ step, cost: after.cost + (after.nothing > 0 ? after.nothing * value : 0) }]
      })
      table.set(at, firsts)
    }
    return firsts
  }

  /**
   * By step: what has to be done, and costs at least, before a state's faults can be changed by it; and which steps
   * count for that.
   */
  openings(job: Job, state: number, cured: number): { cost: Float64Array; counted: ReadonlySet<number> } {
    const { states, steps } = this.#problem
    const opening = this.#openings.of(job.waiting)
    const relevant = this.#relevantTo({ state, uncured: allOf(states, state) & ~cured })
    const cost = new Float64Array(steps.length)
    const counted = new Set<number>()
    const isOther = (step: number) => {
      if (relevant.includes(step)) return false
      counted.add(step)
      return true
    }
    for (const index of relevant) cost[index] = this.#openings.cost(opening[index]!, isOther)
    return { cost, counted }
  }

  #relevantTo({ state, uncured }: Pick<Known, "state" | "uncured">): readonly number[] {
    const { first, second } = this.#problem.states
    const one = (uncured & 1) === 0 ? [] : this.#relevant[first[state]!]!
    const other = (uncured & 2) === 0 ? [] : this.#relevant[second[state]!]!
    return one.length === 0 ? other : other.length === 0 ? one : [...one, ...other]
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
    const table = tableIn(this.#tables, here)
    const at = keyOf(here)
    const known = table.get(at)
    if (known !== undefined) return known
    const made = this.#work(here)
    table.set(at, made)
    return made
  }

  #work(here: Known): number {
    let least = Math.min(this.#problem.handover, this.#comeback(here) + this.#closing(here))
    for (const index of this.#relevantTo(here)) {
      const after = this.#after(index, here)
      if (after !== undefined && after.nothing < 1) least = Math.min(least, after.cost / (1 - after.nothing))
    }
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

  /** What a step costs with all that follows where it changes something, and the chance that it doesn't. */
  #after(index: number, here: Known): { cost: number; nothing: number } | undefined {
    const { states, steps, tryCost } = this.#problem
    const { state, uncured } = here
    const step = steps[index]!
    const done = this.#done(step, index, here)
    if (done === undefined) return undefined
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
    return { cost, nothing }
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

function tableIn<Value>(tables: Tables<Value>, { proofs, extra }: Known): Map<number, Value> {
  tables[proofs] ??= new Map()
  let table = tables[proofs].get(extra)
  if (table === undefined) {
    table = new Map()
    tables[proofs].set(extra, table)
  }
  return table
}

function keyOf({ state, uncured, fitted }: Known): number {
  return 16 * state + 4 * uncured + fitted
}
