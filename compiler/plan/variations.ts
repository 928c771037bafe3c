import { evaluate, FALSE } from "./condition.ts"
import { actsOn } from "./eliminate.ts"
import { type Problem, readingsIn } from "./problem.ts"
import type { Readings } from "./readings.ts"

/** More numbers than this are not kept: a ruleset of some 100 faults and 200 readings. */
const MOST = 4_000_000

/**
 * Total variation between what two states of one fault or none show at a reading. What rules and nevers may take of the
 * one or the other is added: dividing by what is left moves a distribution by no more.
 */
export class Variations {
  readonly #problem: Problem
  readonly #readings: Readings
  readonly #voices: number
  /** By reading, by two voices; not a number where it hasn't been asked for. */
  readonly #known: readonly Float64Array[]
  readonly #taken: readonly Float64Array[]

  /** Undefined where a ruleset is too large for it. */
  static of(problem: Problem, readings: Readings): Variations | undefined {
    const voices = 2 * (problem.model.faults.length + 1)
    if (voices * voices * problem.model.readings.length > MOST) return undefined
    return new Variations(problem, readings, voices)
  }

  constructor(problem: Problem, readings: Readings, voices: number) {
    this.#problem = problem
    this.#readings = readings
    this.#voices = voices
    this.#known = problem.model.readings.map(() => new Float64Array(voices * voices).fill(Number.NaN))
    this.#taken = problem.model.readings.map(() => new Float64Array(voices).fill(Number.NaN))
  }

  between(reading: number, f: number, activeF: number, g: number, activeG: number): number {
    const at = this.#voice(f, activeF) * this.#voices + this.#voice(g, activeG)
    const known = this.#known[reading]![at]!
    if (!Number.isNaN(known)) return known
    const a = this.#readings.distribution(reading, f, activeF)
    const b = this.#readings.distribution(reading, g, activeG)
    let sum = 0
    for (let cell = 0; cell < a.length; cell++) sum += Math.abs(a[cell]! - b[cell]!)
    const made = Math.min(
      1,
      sum / 2 + this.#takenOf(reading, f, activeF) + this.#takenOf(reading, g, activeG),
    )
    this.#known[reading]![at] = made
    return made
  }

  #voice(state: number, active: number): number {
    const fault = this.#problem.states.first[state]!
    return 2 * (fault + 1) + (active !== 0 ? 1 : 0)
  }

  /** Chance of the cells with which a rule that acts on the state, or a never, may come true. */
  #takenOf(reading: number, state: number, active: number): number {
    const at = this.#voice(state, active)
    const known = this.#taken[reading]![at]!
    if (!Number.isNaN(known)) return known
    const { rules, nevers } = this.#problem
    const acting = rules.filter((rule) => actsOn(this.#problem, rule, state, active))
    const conditions = [...acting.map(({ condition }) => condition), ...nevers].filter((condition) =>
      readingsIn(condition).has(reading),
    )
    const view = new Int32Array(this.#problem.model.readings.length).fill(-1)
    let sum = 0
    this.#readings.distribution(reading, state, active).forEach((chance, cell) => {
      view[reading] = cell
      if (conditions.some((condition) => evaluate(condition, view) !== FALSE)) sum += chance
    })
    this.#taken[reading]![at] = sum
    return sum
  }
}
