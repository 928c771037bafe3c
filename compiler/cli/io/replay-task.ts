/** Replays batches of cases, in this thread or in another that runs `replay-worker.ts`. */

import { type GraphIndex, indexGraph } from "../../cases/replay/graph-index.ts"
import type { TallyData } from "../../cases/report/counts.ts"
import { outcomeRow } from "../../cases/report/outcome-row.ts"
import { Tally } from "../../cases/report/tally.ts"
import { type Batch, entriesOf, type Source } from "../../cases/table/batch.ts"
import type { Graph } from "../../run/graph.ts"
import { type CaseProblem, problemsOf } from "./case-problems.ts"
import { csvText } from "./csv.ts"

export interface ReplayInput {
  readonly graph: Graph
  readonly source: Source
  /** Whether each case's end is wanted as a row of CSV. */
  readonly rows: boolean
}

export interface BatchResult {
  readonly cases: number
  readonly problems: readonly CaseProblem[]
  /** Rows of CSV. */
  readonly text: string
  readonly rejected: readonly (readonly string[])[]
}

export class ReplayTask {
  readonly #input: ReplayInput
  readonly #index: GraphIndex
  readonly #tally: Tally

  constructor(input: ReplayInput) {
    this.#input = input
    this.#index = indexGraph(input.graph)
    this.#tally = new Tally(this.#index)
  }

  take(batch: Batch): BatchResult {
    const { source, rows } = this.#input
    const { graph } = this.#index
    const problems: CaseProblem[] = []
    const ends: (string | number)[][] = []
    const rejected: string[][] = []
    let cases = 0
    for (const entry of entriesOf(batch, graph, source)) {
      if (entry.diagnostics.length > 0) problems.push(...problemsOf(entry))
      if (entry.rejected && typeof entry.source !== "string")
        rejected.push([...entry.source, entry.diagnostics.map(({ message }) => message).join(" ")])
      if (!entry.case) continue
      cases++
      const walked = this.#tally.add(entry.case)
      if (rows) ends.push(outcomeRow(graph, entry.case, walked))
    }
    return { cases, problems, text: csvText(ends), rejected }
  }

  get data(): TallyData {
    return this.#tally.data
  }
}
