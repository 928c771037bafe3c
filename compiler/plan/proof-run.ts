import { type Closing, chanceWithin, type Expects } from "./closing.ts"
import type { Job } from "./job.ts"
import type { Looks } from "./looks.ts"
import type { Memories } from "./memory.ts"
import type { Readings } from "./readings.ts"

/** One thing that a proof run expects, and by state and active faults the chance of it where it is drawn anew. */
interface Expected extends Expects {
  readonly drawn: Float64Array
}

/** The proof run of the proofs that count in a job. */
export class ProofRun {
  readonly #states: number
  readonly #looks: Looks
  readonly #readings: Readings
  readonly #memories: Memories
  readonly #known = new Map<Closing, readonly Expected[]>()

  constructor(states: number, looks: Looks, readings: Readings, memories: Memories) {
    this.#states = states
    this.#looks = looks
    this.#readings = readings
    this.#memories = memories
  }

  /** Chance that it holds in one hypothesis. */
  of({ closing }: Job): (state: number, active: number, memory: number) => number {
    let known = this.#known.get(closing)
    if (known === undefined) {
      const drawn = () => new Float64Array(4 * this.#states).fill(Number.NaN)
      known = closing.expects.map((expects) => ({ ...expects, drawn: drawn() }))
      this.#known.set(closing, known)
    }
    const expected = known
    return (state, active, memory) => {
      let chance = this.#looks.gone(state, active, closing.tries)
      for (const each of expected) {
        if (chance === 0) return 0
        chance *= this.#chanceOf(each, state, active, memory)
      }
      return chance
    }
  }

  #chanceOf({ reading, cells, drawn }: Expected, state: number, active: number, memory: number): number {
    const speaking = this.#readings.speaking(reading, state)
    const again = this.#memories.repeated(memory, reading, speaking, active)
    if (again >= 0) return cells[again] ? 1 : 0
    const at = 4 * state + active
    if (Number.isNaN(drawn[at]))
      drawn[at] = chanceWithin(cells, this.#readings.distribution(reading, state, active))
    return drawn[at]!
  }
}
