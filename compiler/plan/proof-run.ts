import { chanceWithin, type Expects } from "./closing.ts"
import type { Job } from "./job.ts"
import type { Looks } from "./looks.ts"
import type { Memories } from "./memory.ts"
import type { Readings } from "./readings.ts"

/** The proof run of the proofs that count in a job. */
export class ProofRun {
  readonly #looks: Looks
  readonly #readings: Readings
  readonly #memories: Memories
  /** By what is expected, by state and active faults: the chance of it where it is drawn anew. */
  readonly #known = new Map<Expects, Float64Array>()

  readonly #states: number

  constructor(states: number, looks: Looks, readings: Readings, memories: Memories) {
    this.#states = states
    this.#looks = looks
    this.#readings = readings
    this.#memories = memories
  }

  /** Chance that it holds in one hypothesis. */
  holds({ closing }: Job, state: number, active: number, memory: number): number {
    let chance = this.#looks.gone(state, active, closing.tries)
    if (chance === 0) return 0
    for (const expects of closing.expects) {
      const { reading, cells } = expects
      const speaking = this.#readings.speaking(reading, state)
      const again = this.#memories.repeated(memory, reading, speaking, active)
      if (again >= 0) {
        if (!cells[again]) return 0
        continue
      }
      const known = this.#chanceOf(expects)
      const at = 4 * state + active
      if (Number.isNaN(known[at]))
        known[at] = chanceWithin(cells, this.#readings.distribution(reading, state, active))
      chance *= known[at]!
    }
    return chance
  }

  #chanceOf(expects: Expects): Float64Array {
    let known = this.#known.get(expects)
    if (known === undefined) {
      known = new Float64Array(4 * this.#states).fill(Number.NaN)
      this.#known.set(expects, known)
    }
    return known
  }
}
