import type { Graph } from "../../compiler/run/graph.ts"
import { remedyText } from "../graph/labels.ts"
import type { CaseRow } from "../workers/replay.worker.ts"

/** The columns of the table of cases, how each sorts, and what its filter looks at. */

export const endingWords: Record<CaseRow["ending"], string> = {
  right: "✓ right",
  wrong: "✗ wrong",
  handover: "→ handed over",
  open: "… open",
  unconfirmed: "? unconfirmed",
}
/** What needs attention comes first. */
export const worstFirst: readonly CaseRow["ending"][] = ["wrong", "handover", "open", "unconfirmed", "right"]

export const columns = ["id", "ending", "fault", "verdict", "minutes", "saved"] as const
export type Column = (typeof columns)[number] | "date"
export const columnTitles: Record<Column, string> = {
  id: "Case",
  date: "Date",
  ending: "On the graph",
  fault: "It was",
  verdict: "Verdict",
  minutes: "Minutes",
  saved: "Saved",
}

export interface Order {
  readonly column: Column
  readonly down: boolean
}

export function verdictOf(graph: Graph, row: CaseRow): string {
  if (row.kind === "") return ""
  return remedyText(graph, { kind: row.kind, ...(row.remedy >= 0 ? { place: row.remedy } : {}) })
}

export interface Filter {
  readonly ending: CaseRow["ending"] | ""
  readonly words: string
}

/** The rows that pass the filter, in order; equal ones as in the file. */
export function arranged(rows: readonly CaseRow[], graph: Graph, filter: Filter, order: Order): CaseRow[] {
  const wanted = filter.words.trim().toLowerCase()
  const text = (row: CaseRow) => `${row.id} ${row.date} ${row.fault} ${verdictOf(graph, row)}`.toLowerCase()
  return rows
    .filter((row) => filter.ending === "" || row.ending === filter.ending)
    .filter((row) => wanted === "" || text(row).includes(wanted))
    .sort((a, b) => {
      const [x, y] = [keyOf(graph, a, order.column), keyOf(graph, b, order.column)]
      const difference = typeof x === "number" ? x - (y as number) : x.localeCompare(y as string)
      return (order.down ? -difference : difference) || a.line - b.line
    })
}

function keyOf(graph: Graph, row: CaseRow, column: Column): string | number {
  switch (column) {
    case "ending":
      // Among equals, what came back is first.
      return 2 * worstFirst.indexOf(row.ending) + (row.cameBack ? 0 : 1)
    case "verdict":
      return verdictOf(graph, row)
    case "saved":
      return row.recorded - row.minutes
    default:
      return row[column]
  }
}
