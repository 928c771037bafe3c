import { type Closing, chanceWithin, closingOf, countingAfter, type Expects } from "./closing.ts"
import { Interned } from "./interned.ts"
import type { Looks } from "./looks.ts"
import type { Problem } from "./problem.ts"
import type { Readings } from "./readings.ts"

interface ProofSet {
  readonly proofs: readonly number[]
  readonly closing: Closing
  /** Of what the proof run expects, that which no test takes: what is found is drawn anew in each run. */
  readonly drawn: readonly Expects[]
  /** By step: the set after it. */
  readonly next: number[]
}

/** Sets of proofs that count in a job, numbered, and what a proof run of them takes. */
export class ProofSets {
  readonly #problem: Problem
  readonly #numbers = new Interned<number>()
  readonly #sets: ProofSet[] = []
  readonly #looks: Looks
  readonly #readings: Readings

  constructor(problem: Problem, looks: Looks, readings: Readings) {
    this.#problem = problem
    this.#looks = looks
    this.#readings = readings
  }

  /** The number of a set, given in rising order. */
  number(proofs: readonly number[]): number {
    return this.#numbers.of(proofs.join(), (number) => {
      const { tests } = this.#problem.model
      const closing = closingOf(this.#problem, proofs)
      const isTaken = (reading: number) => tests.some(({ reads }) => reads.some((each) => each === reading))
      const drawn = closing.expects.filter(({ reading }) => !isTaken(reading))
      this.#sets[number] = { proofs, closing, drawn, next: [] }
      return number
    })
  }

  /** What proof runs cost at least until one holds with these faults active all the while; infinite where none can. */
  untilHeld(number: number, state: number, active: number): number {
    const holds = this.holds(number, state, active)
    return holds > 0 ? this.cost(number) / holds : Number.POSITIVE_INFINITY
  }

  /** Money of one proof run. */
  cost(number: number): number {
    return this.#sets[number]!.closing.cost
  }

  /** Chance that one proof run holds, at most. */
  holds(number: number, state: number, active: number): number {
    const { closing, drawn } = this.#sets[number]!
    let holds = this.#looks.gone(state, active, closing.tries)
    for (const { reading, cells } of drawn)
      holds *= chanceWithin(cells, this.#readings.distribution(reading, state, active))
    return holds
  }

  /** The set once a step has been done as well. */
  after(number: number, step: number): number {
    const { proofs, next } = this.#sets[number]!
    next[step] ??= this.number(countingAfter(this.#problem, proofs, this.#problem.steps[step]!.touches))
    return next[step]
  }
}
