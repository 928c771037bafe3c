/** What is written down while a case is walked, and what came of it. */
import type { Found } from "../../run/index.ts"
import type { Case, CaseAction } from "../record/case.ts"
import type { Ends } from "./continue-open.ts"
import type { Evidence } from "./evidence.ts"
import type { GraphIndex } from "./graph-index.ts"
import type { Ending } from "./judge.ts"
import { Account, type Spending } from "./spending.ts"
import type { MachineState } from "./true-machine.ts"

export interface Walk {
  /** Numbers of the edges taken, as far as the record leads. */
  readonly edges: readonly number[]
  /** How many steps were inferred. */
  readonly inferred: number
  /** The graph did not plan that far: the runner went on from the model. */
  readonly advised: boolean
  /** As far as the record leads. */
  readonly spent: Spending
  readonly ending: Ending
  /** Where the record ended first: what it does not know, and how the case would end, by chance. */
  readonly open?: { readonly action: CaseAction; readonly ends: Ends }
}

/** What is written down while walking. */
export class Trail {
  readonly index: GraphIndex
  readonly record: Case
  readonly evidence: Evidence
  state: MachineState
  /** Numbers of the edges taken in the graph. */
  readonly edges: number[] = []
  #inferred = 0
  readonly #account: Account

  constructor(index: GraphIndex, record: Case, evidence: Evidence) {
    this.index = index
    this.record = record
    this.evidence = evidence
    this.state = evidence.start
    this.#account = new Account(index.trueMachine, record)
  }

  add(action: CaseAction, found: Found, { leftIn = false, inferred = false } = {}): void {
    this.#account.spend(this.state, action, found, this.evidence.minutes(action))
    if (inferred) this.#inferred++
    this.state = this.index.trueMachine.after(this.state, action, found, leftIn)
  }

  end(ending: Ending, advised = false, open?: Walk["open"]): Walk {
    const { edges } = this
    const walk: Walk = { edges, inferred: this.#inferred, advised, spent: this.#account.total, ending }
    return open ? { ...walk, open } : walk
  }
}
