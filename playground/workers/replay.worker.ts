import Papa from "papaparse"
import { type Comparison, Contest } from "../../compiler/cases/compare/compare.ts"
import type { Case } from "../../compiler/cases/record/case.ts"
import { type CaseDiagnostic, readCases } from "../../compiler/cases/record/read.ts"
import { type GraphIndex, indexGraph } from "../../compiler/cases/replay/graph-index.ts"
import { askers, recordedSpending } from "../../compiler/cases/replay/spending.ts"
import type { Walk } from "../../compiler/cases/replay/walk.ts"
import type { Report } from "../../compiler/cases/report/report.ts"
import { Tally } from "../../compiler/cases/report/tally.ts"
import { readRow, rowLine, sheetOf } from "../../compiler/cases/table/read-row.ts"
import { serve } from "./rpc.ts"

/** One case of the table: how it ended on the graph, and the way it took. */
export interface CaseRow {
  readonly id: string
  readonly line: number
  readonly date: string
  /** Label of the confirmed fault, or what is known instead. */
  readonly fault: string
  readonly ending: "right" | "wrong" | "handover" | "open" | "unconfirmed"
  /** Place of the verdict's remedy, -1 for cured, -2 for no verdict. */
  readonly remedy: number
  readonly kind: "replace" | "redo" | "done" | ""
  /** The chance that the verdict gave itself; NaN without one. */
  readonly chance: number
  readonly minutes: number
  readonly recorded: number
  readonly cameBack: boolean
  readonly inferred: number
  /** Nodes walked with the edge taken out of each. */
  readonly way: readonly { readonly node: number; readonly edge: number }[]
  /** Where the walk stopped. */
  readonly end: number
}

export interface Replayed {
  readonly report: Report
  readonly rows: readonly CaseRow[]
  readonly diagnostics: readonly CaseDiagnostic[]
}

let last: { text: string; index: GraphIndex } | undefined

/** `graph` as shipped, JSON. Tells `{ done, of }` in lines now and then. */
function replay(graph: string, text: string): Replayed {
  const index = last?.text === graph ? last.index : indexGraph(JSON.parse(graph))
  last = { text: graph, index }
  const tally = new Tally(index)
  const rows: CaseRow[] = []
  const diagnostics: CaseDiagnostic[] = []
  const lines = text.split("\n").length
  let at = 0
  const told = askers(index.graph)
  let said = performance.now()
  for (const line of readCases(text, index.graph)) {
    at += 1
    diagnostics.push(...line.diagnostics)
    if (line.case) rows.push(rowOf(index, line.case, tally.add(line.case), told))
    if (performance.now() - said < 60) continue
    said = performance.now()
    self.postMessage({ told: { done: at, of: lines } })
  }
  return { report: tally.report(), rows, diagnostics }
}

function rowOf(index: GraphIndex, record: Case, walked: Walk, told: ReadonlyMap<number, number>): CaseRow {
  const { graph } = index
  const { ending, edges } = walked
  const way = edges.map((edge) => ({ node: index.from[edge]!, edge: edge - index.first[index.from[edge]!]! }))
  const verdict = ending.kind === "verdict" ? ending : undefined
  const lastEdge = edges[edges.length - 1]
  const { truth } = record
  return {
    id: record.id,
    line: record.line,
    date: record.date ?? "",
    fault:
      truth.known === "listed"
        ? graph.faults[truth.fault]!.label
        : truth.known === "unlisted"
          ? truth.name
          : "",
    ending:
      truth.known === "no"
        ? "unconfirmed"
        : verdict
          ? verdict.mends
            ? "right"
            : "wrong"
          : (ending.kind as "handover" | "open"),
    remedy: verdict ? (verdict.remedy.place ?? -1) : -2,
    kind: verdict?.remedy.kind ?? "",
    chance: verdict?.chance ?? Number.NaN,
    minutes: walked.minutes,
    recorded: recordedSpending(graph, record, told).minutes,
    cameBack: record.cameBack,
    inferred: walked.inferred,
    way,
    end: lastEdge === undefined ? graph.start : index.edges[lastEdge]!.to,
  }
}

/** Two graphs as shipped on the same cases; undefined where the older cannot be run. */
function compare(old: string, fresh: string, text: string): Comparison | undefined {
  const contest = new Contest(JSON.parse(old), JSON.parse(fresh))
  const { graphs } = contest
  const before = readCases(text, graphs.old)
  for (const line of readCases(text, graphs.fresh)) {
    const same = before.next().value
    if (line.case && same?.case) contest.add(same.case, line.case)
  }
  return contest.result()
}

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

/** A table of cases, read as the command line reads it. */
function linesOf(graph: string, table: string): Rows {
  const { data } = Papa.parse<string[]>(table, { skipEmptyLines: "greedy" })
  const { graph: ready } = indexGraph(JSON.parse(graph))
  const [header = [], ...rows] = data
  const sheet = sheetOf(header, ready)
  const lines: string[] = []
  const rejected: string[][] = []
  const remarks: TableRemark[] = sheet.columns.flatMap(({ letter, header, role }) =>
    role.is === "nothing" && role.why !== undefined
      ? [{ text: `Column ${letter} (\`${header}\`) is ignored: ${role.why}` }]
      : [],
  )
  rows.forEach((cells, i) => {
    const { diagnostics, rejected: isBad } = readRow(sheet, cells, i + 2, ready)
    remarks.push(
      ...diagnostics.map(({ message, help, code }) => ({
        text: help === undefined ? message : `${message} ${help}`,
        code,
      })),
    )
    if (isBad) rejected.push(cells)
    else lines.push(rowLine(sheet, cells, i + 2, ready).line)
  })
  return {
    text: lines.join("\n"),
    remarks,
    rejected: rejected.length === 0 ? "" : Papa.unparse([header, ...rejected]),
  }
}

export const functions = { replay, compare, linesOf }
serve(functions)
