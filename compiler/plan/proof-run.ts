import { chanceWithin } from "./closing.ts"
import type { Job } from "./job.ts"
import type { Looks } from "./looks.ts"
import type { Memories } from "./memory.ts"
import type { Readings } from "./readings.ts"

/** The proof run of the proofs that count in a job. */
export class ProofRun {
  readonly #looks: Looks
  readonly #readings: Readings
  readonly #memories: Memories

  constructor(looks: Looks, readings: Readings, memories: Memories) {
    this.#looks = looks
    this.#readings = readings
    this.#memories = memories
  }

  /** Chance that it holds in one hypothesis. */
  holds({ closing }: Job, state: number, active: number, memory: number): number {
    let chance = this.#looks.gone(state, active, closing.tries)
    if (chance === 0) return 0
    for (const { reading, cells } of closing.expects) {
      const speaking = this.#readings.speaking(reading, state)
      const again = this.#memories.repeated(memory, reading, speaking, active)
      if (again >= 0) {
        if (!cells[again]) return 0
        continue
      }
      chance *= chanceWithin(cells, this.#readings.distribution(reading, state, active))
    }
    return chance
  }
}
