/** Where batches of cases are walked: in this thread, or in another that runs `replay-worker.ts`. */
import Papa from "papaparse"
import { type GraphIndex, indexGraph } from "../../cases/replay/graph-index.ts"
import type { Sums } from "../../cases/report/counts.ts"
import { outcomeRow } from "../../cases/report/outcome-row.ts"
import { Tally } from "../../cases/report/tally.ts"
import { type Batch, entriesOf, type Source } from "../../cases/table/batch.ts"
import type { Graph } from "../../run/graph.ts"
import { type Remark, remarksOf } from "./case-diagnostics.ts"

export interface Work {
  readonly graph: Graph
  readonly source: Source
  /** Each case's end is wanted as a row of CSV. */
  readonly rows: boolean
}

/** What came of one batch. */
export interface Walked {
  readonly cases: number
  readonly remarks: readonly Remark[]
  /** Rows of CSV. */
  readonly text: string
  readonly rejected: readonly (readonly string[])[]
}

export class Desk {
  readonly #work: Work
  readonly #index: GraphIndex
  readonly #tally: Tally

  constructor(work: Work) {
    this.#work = work
    this.#index = indexGraph(work.graph)
    this.#tally = new Tally(this.#index)
  }

  take(batch: Batch): Walked {
    const { source, rows } = this.#work
    const { graph } = this.#index
    const remarks: Remark[] = []
    const ends: (string | number)[][] = []
    const rejected: string[][] = []
    let cases = 0
    for (const entry of entriesOf(batch, graph, source)) {
      if (entry.diagnostics.length > 0) remarks.push(...remarksOf(entry))
      if (entry.rejected && typeof entry.source !== "string")
        rejected.push([...entry.source, entry.diagnostics.map(({ message }) => message).join(" ")])
      if (!entry.case) continue
      cases++
      const walked = this.#tally.add(entry.case)
      if (rows) ends.push(outcomeRow(graph, entry.case, walked))
    }
    return { cases, remarks, text: csvText(ends), rejected }
  }

  get sums(): Sums {
    return this.#tally.sums
  }
}

/** Rows as CSV (RFC 4180, with LF); what a spreadsheet would take for a formula is disarmed. */
export function csvText(rows: readonly (readonly (string | number)[])[]): string {
  if (rows.length === 0) return ""
  return `${Papa.unparse(rows as (string | number)[][], { newline: "\n", escapeFormulae: true })}\n`
}
