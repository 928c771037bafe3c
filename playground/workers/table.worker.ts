import Papa from "papaparse"
import { indexGraph } from "../../compiler/cases/replay/graph-index.ts"
import { columnMapping, readRow, rowLine } from "../../compiler/cases/table/read-row.ts"
import { serve } from "./rpc.ts"
import { type Choice, choicesOf, type TableColumn, tableColumns } from "./table-columns.ts"

/** What there is to say of a table; a row's with the code of its diagnostic. */
export interface TableRemark {
  readonly text: string
  readonly code?: string
}

export interface Rows {
  /** The good rows, as lines of JSON. */
  readonly text: string
  /** What there is to say, by row and column. */
  readonly remarks: readonly TableRemark[]
  /** The rows left out, as a table with the same header; empty where there are none. */
  readonly rejected: string
}

const parsedTable = (table: string) => Papa.parse<string[]>(table, { skipEmptyLines: "greedy" }).data

/** What the columns of a table were taken for, and what else they may be. */
function columnsOf(graph: string, table: string): { columns: TableColumn[]; choices: Choice[] } {
  const { graph: ready } = indexGraph(JSON.parse(graph))
  return { columns: tableColumns(ready, parsedTable(table)), choices: choicesOf(ready) }
}

/** A table of cases, read as the command line reads it; `headers` take the place of its own where they are given. */
function linesOf(graph: string, table: string, headers?: readonly string[]): Rows {
  const { graph: ready } = indexGraph(JSON.parse(graph))
  const [header = [], ...rows] = parsedTable(table)
  const named = columnMapping(headers ?? header, ready)
  const mapping = { columns: named.columns.map((column, i) => ({ ...column, header: header[i] ?? "" })) }
  const lines: string[] = []
  const rejected: string[][] = []
  const remarks: TableRemark[] = mapping.columns.flatMap(({ letter, header, role }) =>
    role.is === "nothing" && role.why !== undefined
      ? [{ text: `Column ${letter} (\`${header}\`) is ignored: ${role.why}` }]
      : [],
  )
  rows.forEach((cells, i) => {
    const { diagnostics, rejected: isBad } = readRow(mapping, cells, i + 2, ready)
    remarks.push(
      ...diagnostics.map(({ message, help, code }) => ({
        text: help === undefined ? message : `${message} ${help}`,
        code,
      })),
    )
    if (isBad) rejected.push(cells)
    else lines.push(rowLine(mapping, cells, i + 2, ready))
  })
  return {
    text: lines.join("\n"),
    remarks,
    rejected: rejected.length === 0 ? "" : Papa.unparse([header, ...rejected]),
  }
}

export const functions = { columnsOf, linesOf }
serve(functions)
