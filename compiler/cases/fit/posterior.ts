/** The chance of everything that can be wrong, given all that a record found: what the runner says at the end of the job. */

import { type Belief, startBelief } from "../../run/belief.ts"
import { addTo } from "../../run/lookup.ts"
import type { Machine } from "../../run/machine.ts"
import { after } from "../../run/outcomes.ts"
import type { Confirmed } from "../record/case.ts"
import type { CaseContent } from "./distinct-cases.ts"
import { eventsOf, fittedFor } from "./job-history.ts"

/** Chances of what was wrong; undefined where no state of the machine fits. */
export class Posterior {
  readonly #belief: Belief

  constructor(belief: Belief) {
    this.#belief = belief
  }

  /** Chance of exactly what was confirmed; 0 where nobody confirmed anything. */
  of(confirmed: Confirmed): number {
    if (confirmed.kind === "unknown") return 0
    const [a = -1, b = -1] = confirmed.kind === "faults" ? confirmed.faults : []
    return this.#states().get(`${a} ${b}`) ?? 0
  }

  /** Whether nothing else is likelier. */
  isLikeliest(confirmed: Confirmed): boolean {
    const chance = this.of(confirmed)
    return chance > 0 && [...this.#states().values()].every((other) => other <= chance)
  }

  /** By fault: chance that it was there. */
  present(faults: number): Float64Array {
    const all = new Float64Array(faults)
    for (const { a, b, weight } of this.#belief.hypotheses) {
      if (a >= 0) addTo(all, a, weight)
      if (b >= 0) addTo(all, b, weight)
    }
    return all
  }

  #states(): Map<string, number> {
    const states = new Map<string, number>()
    for (const { a, b, weight } of this.#belief.hypotheses)
      states.set(`${a} ${b}`, (states.get(`${a} ${b}`) ?? 0) + weight)
    return states
  }
}

/** `machine`: with its rules. */
export function posterior(machine: Machine, record: CaseContent): Posterior | undefined {
  let belief = startBelief(machine)
  for (const { action, found } of eventsOf(machine, record)) {
    const job = fittedFor(machine, belief.job, action)
    belief = after(machine, { ...belief, job }, action, found)
    if (belief.hypotheses.length === 0) return undefined
  }
  return new Posterior(belief)
}
