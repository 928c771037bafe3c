/** What the author says is always or never so, and cases contradict. */
import type { Graph } from "../../run/graph.ts"
import type { Case } from "../record/case.ts"
import { Blamer } from "../replay/blame.ts"
import { TrueMachine } from "../replay/true-machine.ts"
import { Labels } from "../report/labels.ts"
import type { Mistake } from "../report/report.ts"

export interface Contradiction {
  readonly cause: Mistake["cause"]
  readonly name?: string
  readonly because?: string
  /** Line of the rule. */
  readonly at?: number
  readonly chance: number
  readonly fault: string
  readonly found: string
  /** So many cases. */
  readonly count: number
  /** The first of them, at most 100. */
  readonly ids: readonly string[]
  /** Of so many cases in which the same was confirmed. */
  readonly of: number
}

const MOST_NAMED = 100

/** Gathers them case by case. A rule that is trusted in part may be contradicted: its percentage says how often. */
export class Contradictions {
  readonly #labels: Labels
  readonly #blamer: Blamer
  readonly #confirmed = new Map<string, number>()
  readonly #found = new Map<string, Omit<Contradiction, "of"> & { count: number; ids: string[] }>()

  constructor(graph: Graph) {
    this.#labels = new Labels(graph)
    this.#blamer = new Blamer(graph, new TrueMachine(graph))
  }

  add(record: Case): void {
    const fault = this.#labels.confirmed(record.confirmed)
    this.#confirmed.set(fault, (this.#confirmed.get(fault) ?? 0) + 1)
    const met = new Set<string>()
    for (const blame of this.#blamer.blames(record)) {
      const { id, line: _, cameBack: __, onWalk: ___, ...said } = this.#labels.mistake(record, blame, false)
      const key = JSON.stringify([said.cause, said.name, said.at, said.fault, said.found])
      if (said.chance < 1 || met.has(key)) continue
      met.add(key)
      const known = this.#found.get(key) ?? { ...said, count: 0, ids: [] }
      this.#found.set(key, known)
      known.count++
      if (known.ids.length < MOST_NAMED) known.ids.push(id)
    }
  }

  /** The most frequent first. */
  get all(): Contradiction[] {
    return [...this.#found.values()]
      .map((each) => ({ ...each, of: this.#confirmed.get(each.fault) ?? 0 }))
      .sort((a, b) => b.count - a.count)
  }
}
