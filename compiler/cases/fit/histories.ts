/** Distinct cases as they are counted in every round of an estimate. */
import type { FaultIndex } from "../../run/indexes.ts"
import type { Machine } from "../../run/machine.ts"
import type { DistinctCases } from "./distinct-cases.ts"
import { machineFor, type Past, pastOf } from "./job-history.ts"
import { graphWith, written } from "./parameter-values.ts"
import type { Parameters } from "./parameters.ts"

/** So many are kept as they are counted; those beyond are worked out anew each time, which takes a part of the time. */
const KEPT = 4000

export interface JobPast {
  readonly past: readonly Past[]
  /** None for something not listed. */
  readonly faults: readonly FaultIndex[]
}

export class Histories {
  readonly cases: DistinctCases
  readonly #machine: Machine
  readonly #kept: (JobPast | undefined)[] = []

  constructor(parameters: Parameters, cases: DistinctCases) {
    this.cases = cases
    this.#machine = machineFor(graphWith(parameters, written(parameters)), { withRules: false })
  }

  /** Of a distinct case. */
  of(at: number): JobPast {
    const known = this.#kept[at]
    if (known) return known
    const content = this.cases.content(at)
    const { confirmed } = content
    const faults = confirmed.kind === "faults" ? confirmed.faults : []
    const job = { past: pastOf(this.#machine, content), faults }
    if (at < KEPT) this.#kept[at] = job
    return job
  }
}
