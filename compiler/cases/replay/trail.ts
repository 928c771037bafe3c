/** What is written down while a case is walked, and what came of it. */
import type { Ends } from "./continue-open.ts"
import type { Evidence, KnownStep } from "./evidence.ts"
import type { GraphIndex } from "./graph-index.ts"
import type { Ending } from "./judge.ts"
import { type Machine, untouched } from "./true-machine.ts"

export interface Walk {
  /** Numbers of the edges taken, as far as the record leads. */
  readonly edges: readonly number[]
  /** How many steps were inferred. */
  readonly inferred: number
  /** The graph did not plan that far: the runner went on from the model. */
  readonly advised: boolean
  /** Told questions, tests and putting back, as far as the record leads; minutes and money without any loss. */
  readonly minutes: number
  readonly work: number
  readonly ending: Ending
  /** Where the record ended first: the step it does not know, and how the case would end, by chance. */
  readonly open?: { readonly test: number; readonly putBack: boolean; readonly ends: Ends }
}

/** What is written down while walking. */
export class Trail {
  readonly #index: GraphIndex
  readonly evidence: Evidence
  machine: Machine = untouched
  /** Numbers of the edges taken in the graph. */
  readonly edges: number[] = []
  inferred = 0
  minutes = 0
  work = 0

  constructor(index: GraphIndex, evidence: Evidence) {
    this.#index = index
    this.evidence = evidence
  }

  add(test: number, putBack: boolean, step: KnownStep): void {
    this.spend(test, putBack)
    if (step.inferred) this.inferred++
    this.machine = step.machine
  }

  spend(test: number, putBack: boolean): void {
    const { graph } = this.#index
    const spent = this.evidence.minutes(test, putBack)
    this.minutes += spent
    this.work += graph.tests[test]!.cost + ((spent - graph.tests[test]!.minutes) * graph.bench) / 60
  }

  end(ending: Ending, advised = false, open?: Walk["open"]): Walk {
    const { edges, inferred, minutes, work } = this
    const walk: Walk = { edges, inferred, advised, minutes, work, ending }
    return open ? { ...walk, open } : walk
  }
}
