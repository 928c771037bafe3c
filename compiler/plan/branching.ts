import { Eliminations } from "./eliminate.ts"
import type { Job } from "./job.ts"
import type { Memories } from "./memory.ts"
import type { Problem } from "./problem.ts"
import { Gathering, NO_CHANCE, type Scratch, type State, type Weighted } from "./state.ts"

/** A hypothesis of which all outcomes together keep less than this is out. */
const OUT = 1e-12

/** A pair of faults of less chance is left out of a state where pairs are left out at all. */
const TOO_UNLIKELY = 1e-6

/**
 * Weighs what one step makes of the hypotheses of a state. For each hypothesis (`begin`) come its branches, an outcome
 * and what is cured in it, with their chances; rules and nevers take of them, and what is left is divided by its sum
 * (`end`).
 */
export class Branching {
  /** Weights before dividing, of what rules took, and nevers of the rest. */
  struck = 0
  forbidden = 0
  /** Weight of all hypotheses that aren't out, and of theirs times the tries of the look. */
  total = 0
  tries = 0
  readonly #gatherings: Gathering[] = []
  readonly #because: Set<number>[] = []
  readonly #eliminations: Eliminations
  readonly #problem: Problem
  #weight = 0
  #size = 0
  #sum = 0
  // The branches of the hypothesis at hand.
  #outcomes = new Int32Array(16)
  #ids = new Int32Array(16)
  #memories = new Int32Array(16)
  #values = new Float64Array(16)
  #triesOf = new Float64Array(16)

  constructor(problem: Problem, memories: Memories) {
    this.#problem = problem
    this.#eliminations = new Eliminations(problem, memories)
  }

  /** Starts a step with so many outcomes. */
  reset(outcomes: number): void {
    while (this.#gatherings.length < outcomes) {
      this.#gatherings.push(new Gathering())
      this.#because.push(new Set())
    }
    for (let o = 0; o < outcomes; o++) {
      this.#gatherings[o]!.clear()
      if (this.#because[o]!.size > 0) this.#because[o]!.clear()
    }
    this.struck = 0
    this.forbidden = 0
    this.total = 0
    this.tries = 0
  }

  begin(weight: number): void {
    this.#weight = weight
    this.#size = 0
    this.#sum = 0
  }

  /** What is left as it was goes to an outcome: rules and nevers have had their say before. */
  pass(outcome: number, id: number, memory: number, weight: number, tries = 0): void {
    this.total += weight
    this.tries += weight * tries
    this.#gatherings[outcome]!.append(id, memory, weight)
  }

  /** The same of a look, whose first outcome has the chance `gone`; `made`: tries that it takes on average. */
  passLook(id: number, memory: number, weight: number, gone: number, made: number): void {
    this.total += weight
    this.tries += weight * made
    if (gone > 0) this.#gatherings[0]!.append(id, memory, weight * gone)
    if (gone < 1) this.#gatherings[1]!.append(id, memory, weight * (1 - gone))
  }

  /** `id`, `active` and `memory` are those after the step, before rules act. */
  branch(outcome: number, id: number, active: number, memory: number, chance: number, tries = 0): void {
    if (chance < NO_CHANCE) return
    const { verdict } = this.#eliminations
    if (!this.#eliminations.judge(id >> 2, active, memory)) {
      this.#keep(outcome, id, memory, chance, tries)
      return
    }
    for (const rule of verdict.rules) this.#because[outcome]!.add(rule)
    this.struck += this.#weight * chance * (1 - verdict.left)
    let value = chance * verdict.left
    if (verdict.isForbidden) {
      this.forbidden += this.#weight * value
      value = 0
    }
    if (value > 0) this.#keep(outcome, id, verdict.memory, value, tries)
  }

  #keep(outcome: number, id: number, memory: number, value: number, tries: number): void {
    if (this.#size === this.#ids.length) this.#grow()
    const at = this.#size++
    this.#outcomes[at] = outcome
    this.#ids[at] = id
    this.#memories[at] = memory
    this.#values[at] = value
    this.#triesOf[at] = tries
    this.#sum += value
  }

  end(): void {
    if (this.#sum < OUT) return
    this.total += this.#weight
    const scale = this.#weight / this.#sum
    for (let at = 0; at < this.#size; at++) {
      const weight = scale * this.#values[at]!
      this.tries += weight * this.#triesOf[at]!
      this.#gatherings[this.#outcomes[at]!]!.add(this.#ids[at]!, this.#memories[at]!, weight)
    }
  }

  /** Chance of an outcome; 0 where nothing comes to it. */
  chance(outcome: number): number {
    const { total } = this.#gatherings[outcome]!
    return total > 0 ? total / this.total : 0
  }

  /** The hypotheses of an outcome, valid until the next step is weighed. */
  gathered(outcome: number): Weighted {
    return this.#gatherings[outcome]!
  }

  state(outcome: number, job: Job, scratch?: Scratch): State {
    return this.#gatherings[outcome]!.state(job, scratch)
  }

  /** Leaves out of an outcome the pairs of faults that are too unlikely for a ruleset of so many; returns their part. */
  leaveOut(outcome: number): number {
    const { states } = this.#problem
    if (states.leftOut === 0) return 0
    return this.#gatherings[outcome]!.leaveOut(TOO_UNLIKELY, (id) => states.second[id >> 2]! >= 0)
  }

  rules(outcome: number): number[] {
    return [...this.#because[outcome]!].sort((a, b) => a - b)
  }

  #grow(): void {
    const wider = 2 * this.#ids.length
    const int = (from: Int32Array): Int32Array<ArrayBuffer> => {
      const to = new Int32Array(wider)
      to.set(from)
      return to
    }
    const float = (from: Float64Array): Float64Array<ArrayBuffer> => {
      const to = new Float64Array(wider)
      to.set(from)
      return to
    }
    this.#outcomes = int(this.#outcomes)
    this.#ids = int(this.#ids)
    this.#memories = int(this.#memories)
    this.#values = float(this.#values)
    this.#triesOf = float(this.#triesOf)
  }
}
