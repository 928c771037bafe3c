/** Records as they come from a file, in batches that can be read one by one or handed to another thread. */
import type { Graph } from "../../run/graph.ts"
import type { Case } from "../record/case.ts"
import { linesOf } from "../record/lines.ts"
import { type CaseDiagnostic, readCase } from "../record/read.ts"
import { type ColumnMapping, readRow } from "./read-row.ts"

/** Whole lines of JSON, or rows of a table; `from`: number of the first line or row, from 1. */
export type Batch =
  | { readonly kind: "lines"; readonly text: string; readonly from: number; readonly offset: number }
  | { readonly kind: "rows"; readonly rows: readonly (readonly string[])[]; readonly from: number }

/** One record of a batch: the case, if it can be used, what there is to say of it, and its text. */
export interface Entry {
  readonly case?: Case
  readonly diagnostics: readonly CaseDiagnostic[]
  /** The line, or the cells of the row. */
  readonly source: string | readonly string[]
  /** Of the line in its file. */
  readonly offset: number
  /** A row with a bad cell: it is left out and written aside. */
  readonly rejected?: true
}

export interface Source {
  readonly file: string
  /** The day that it is, as ISO 8601 has it; without it no date is yet to come. */
  readonly today?: string
  /** For rows: what their columns are. */
  readonly mapping?: ColumnMapping
}

/** Reads a batch for a graph. Never throws for what is in it. */
export function* entriesOf(batch: Batch, graph: Graph, { file, mapping, today }: Source): Generator<Entry> {
  if (batch.kind === "rows") {
    let n = batch.from
    for (const row of batch.rows)
      if (mapping) yield { ...readRow(mapping, row, n++, graph, file, today), source: row, offset: 0 }
    return
  }
  for (const { line, n, offset } of linesOf(batch.text)) {
    const place = { file, offset: batch.offset + offset, ...(today === undefined ? {} : { today }) }
    yield { ...readCase(line, batch.from + n - 1, graph, place), source: line, offset: place.offset }
  }
}
