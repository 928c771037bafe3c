import type { Looks } from "./looks.ts"
import type { Problem } from "./problem.ts"
import type { Readings } from "./readings.ts"

interface Expected {
  readonly reading: number
  readonly cells: readonly boolean[]
}

/** Sets of proofs that count in a job, numbered, and what a proof run of them takes. */
export class ProofSets {
  readonly #problem: Problem
  readonly #numbers = new Map<string, number>()
  readonly #sets: (readonly number[])[] = []
  readonly #costs: number[] = []
  readonly #tries: number[] = []
  readonly #expects: (readonly Expected[])[] = []
  /** By set, by step: the set after it. */
  readonly #next: number[][] = []

  readonly #looks: Looks
  readonly #readings: Readings

  constructor(problem: Problem, looks: Looks, readings: Readings) {
    this.#problem = problem
    this.#looks = looks
    this.#readings = readings
  }

  /** The number of a set, given in rising order. */
  number(set: readonly number[]): number {
    const key = set.join()
    const known = this.#numbers.get(key)
    if (known !== undefined) return known
    const { proofs, ruleset } = this.#problem.model
    const number = this.#sets.push(set) - 1
    const minutes = set.reduce((sum, i) => sum + proofs[i]!.times * proofs[i]!.minutes, 0)
    this.#costs.push((minutes * ruleset.bench) / 60)
    this.#tries.push(set.reduce((sum, i) => sum + proofs[i]!.times, 0))
    this.#expects.push(this.#expectedOf(set))
    this.#next.push([])
    this.#numbers.set(key, number)
    return number
  }

  /** What proof runs cost at least until one holds with these faults active all the while; infinite where none can. */
  untilHeld(number: number, state: number, active: number): number {
    const holds = this.holds(number, state, active)
    return holds > 0 ? this.#costs[number]! / holds : Number.POSITIVE_INFINITY
  }

  /** Money of one proof run. */
  cost(number: number): number {
    return this.#costs[number]!
  }

  /** Chance that one proof run holds, at most. */
  holds(number: number, state: number, active: number): number {
    let holds = this.#looks.gone(state, active, this.#tries[number]!)
    for (const { reading, cells } of this.#expects[number]!) {
      const chances = this.#readings.distribution(reading, state, active)
      holds *= chances.reduce((sum, chance, cell) => (cells[cell] ? sum + chance : sum), 0)
    }
    return holds
  }

  /** Readings that a proof expects and no test takes: what is found is drawn anew in each run. */
  #expectedOf(set: readonly number[]): Expected[] {
    const { proofs, tests } = this.#problem.model
    return set.flatMap((i) => {
      const { expects } = proofs[i]!
      if (expects === undefined || tests.some(({ reads }) => reads.includes(expects.reading))) return []
      return [expects]
    })
  }

  /** The set once a step has been done as well. */
  after(number: number, step: number): number {
    const known = this.#next[number]![step]
    if (known !== undefined) return known
    const { proofs } = this.#problem.model
    const { touches } = this.#problem.steps[step]!
    const set = this.#sets[number]!
    const made = this.number(
      [...proofs.keys()].filter((i) => set.includes(i) || proofs[i]!.places.some((p) => touches.includes(p))),
    )
    this.#next[number]![step] = made
    return made
  }
}
