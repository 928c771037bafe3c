/** What is written down while a case is walked, and what came of it. */

import type { Found } from "../../run/index.ts"
import type { NodeIndex } from "../../run/indexes.ts"
import { type Case, type CaseAction, isRepair, type RepairAction } from "../record/case.ts"
import { type Ahead, nothingAhead } from "./ends.ts"
import type { Evidence } from "./evidence.ts"
import type { GraphIndex } from "./graph-index.ts"
import type { Ending } from "./judge.ts"
import { Account, type Spending } from "./spending.ts"
import type { MachineState } from "./true-machine.ts"

export interface Walk {
  /** Numbers of the edges taken, as far as the record leads. */
  readonly edges: readonly number[]
  /** Node after the last of them, where what was found fits nothing that can be wrong: no edge is taken. */
  readonly strayed?: NodeIndex
  /** Every part bought and fault fixed, beyond the graph too. */
  readonly repairs: readonly RepairAction[]
  /** How many steps were inferred. */
  readonly inferred: number
  /** The graph did not plan that far: the runner went on from the model. */
  readonly advised: boolean
  /** As far as the record leads. */
  readonly spent: Spending
  readonly ending: Ending
  /** Where the record ended first: what it does not know, and what would come of the case, by chance. */
  readonly open?: Readonly<Ahead> & { readonly action: CaseAction }
}

/** What a case takes, whether the record leads to its end or only the chances do; `inVain`: that a part is bought so. */
export function expectedSpending({ spent, open }: Walk): Omit<Ahead, "ends"> {
  const ahead = open ?? nothingAhead()
  return {
    minutes: spent.minutes + ahead.minutes,
    money: spent.money + ahead.money,
    inVain: spent.inVain > 0 ? 1 : ahead.inVain,
    toGo: ahead.toGo,
  }
}

/** What is written down while walking. */
export class Trail {
  readonly index: GraphIndex
  readonly record: Case
  readonly evidence: Evidence
  state: MachineState
  /** Numbers of the edges taken in the graph. */
  readonly edges: number[] = []
  strayed: NodeIndex | undefined
  readonly #repairs: RepairAction[] = []
  #inferred = 0
  readonly #account: Account

  constructor(index: GraphIndex, record: Case, evidence: Evidence) {
    this.index = index
    this.record = record
    this.evidence = evidence
    this.state = evidence.start
    this.#account = new Account(index.trueMachine, record.confirmed)
  }

  add(action: CaseAction, found: Found, { leftIn = false, inferred = false } = {}): void {
    this.#account.spend(this.state, action, found, this.evidence.minutes(action))
    if (inferred) this.#inferred++
    if (isRepair(action)) this.#repairs.push(action)
    this.state = this.index.trueMachine.after(this.state, action, found, leftIn)
  }

  end(ending: Ending, advised = false, open?: Walk["open"]): Walk {
    const { edges, strayed } = this
    const spent = this.#account.total
    const walk: Walk = { edges, repairs: this.#repairs, inferred: this.#inferred, advised, spent, ending }
    return { ...walk, ...(strayed === undefined ? {} : { strayed }), ...(open ? { open } : {}) }
  }
}
