import { type Comparison, ComparisonTally } from "../../compiler/cases/compare/compare.ts"
import type { Case } from "../../compiler/cases/record/case.ts"
import { type CaseDiagnostic, readCases } from "../../compiler/cases/record/read.ts"
import { type GraphIndex, indexGraph } from "../../compiler/cases/replay/graph-index.ts"
import { recordedSpending } from "../../compiler/cases/replay/spending.ts"
import type { Walk } from "../../compiler/cases/replay/walk.ts"
import { endingName, Labels } from "../../compiler/cases/report/labels.ts"
import { OUTCOME_HEADER, outcomeRow } from "../../compiler/cases/report/outcome-row.ts"
import type { EndingName, Report } from "../../compiler/cases/report/report.ts"
import { Tally } from "../../compiler/cases/report/tally.ts"
import { csvText } from "../../compiler/cli/io/csv.ts"
import { Lines } from "../../compiler/diagnostics/line-index.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { at, itemAt } from "../../compiler/run/lookup.ts"
import { listed } from "../../compiler/wording/sentence.ts"
import { serve } from "./rpc.ts"

/** One case of the table: how it ended on the graph, and the way it took. */
export interface CaseRow {
  readonly id: string
  readonly line: number
  readonly date: string
  /** Labels of what was confirmed, none where nothing was; and all of them in words. */
  readonly faults: readonly string[]
  readonly fault: string
  readonly ending: EndingName | "unconfirmed"
  /** What came of it in words, the author's names in backticks. */
  readonly says: string
  /** Parts bought in vain, and what they cost. */
  readonly inVain: number
  readonly inVainMoney: number
  readonly minutes: number
  readonly recorded: number
  /** What was bought and fixed. */
  readonly repairs: Walk["repairs"]
  readonly cameBack: boolean
  readonly inferred: number
  /** Nodes walked with the edge taken out of each. */
  readonly way: readonly { readonly node: number; readonly edge: number }[]
  /** The node where the walk stopped; undefined where the job ended. */
  readonly end: number | undefined
}

export interface Replayed {
  readonly report: Report
  readonly rows: readonly CaseRow[]
  readonly diagnostics: readonly CaseDiagnostic[]
}

/** The graph of the last call: most come one after the other on the same one. */
let last: { text: string; index: GraphIndex } | undefined
/** How each case that was replayed last ends, by its line; the row of a table is written when somebody wants the table. */
let ends = new Map<number, () => (string | number)[]>()

/** `graph` as shipped, JSON. Tells `{ done, of }` in lines now and then. */
function replay(graph: string, text: string): Replayed {
  const index = last?.text === graph ? last.index : indexGraph(JSON.parse(graph))
  last = { text: graph, index }
  const tally = new Tally(index)
  const labels = new Labels(index.graph)
  const rows: CaseRow[] = []
  const diagnostics: CaseDiagnostic[] = []
  ends = new Map()
  const lines = new Lines(text).count
  let at = 0
  let said = performance.now()
  for (const line of readCases(text, index.graph)) {
    at += 1
    diagnostics.push(...line.diagnostics)
    if (line.case) {
      const walk = tally.add(line.case)
      rows.push(rowOf(index, labels, line.case, walk))
      const ended = line.case
      ends.set(ended.line, () => outcomeRow(index.graph, ended, walk))
    }
    if (performance.now() - said < 60) continue
    said = performance.now()
    self.postMessage({ told: { done: at, of: lines } })
  }
  return { report: tally.report(), rows, diagnostics }
}

function rowOf(index: GraphIndex, labels: Labels, record: Case, walk: Walk): CaseRow {
  const { graph, edges, trueMachine } = index
  const { ending, spent, inferred } = walk
  const faults = confirmedLabels(graph, record.confirmed)
  const lastEdge = walk.edges.at(-1)
  return {
    id: record.id,
    line: record.line,
    date: record.date ?? "",
    faults,
    fault: listed(faults),
    ending: record.confirmed.kind === "unknown" ? "unconfirmed" : endingName(ending),
    says: labels.noted(record, walk).says,
    inVain: spent.inVain,
    inVainMoney: spent.inVainMoney,
    minutes: spent.minutes,
    recorded: recordedSpending(trueMachine, record).minutes,
    repairs: walk.repairs,
    cameBack: record.cameBack,
    inferred,
    way: walk.edges.map((edge) => wayAt(index, edge)),
    end: lastEdge === undefined ? graph.start : itemAt(edges, lastEdge).to,
  }
}

/** The node that an edge leaves, and its place among the edges of that node. */
function wayAt({ from, first }: GraphIndex, edge: number) {
  const node = at(from, edge)
  return { node, edge: edge - at(first, node) }
}

function confirmedLabels(graph: Graph, confirmed: Case["confirmed"]): string[] {
  if (confirmed.kind === "faults") return confirmed.faults.map((fault) => at(graph.faults, fault).label)
  return confirmed.kind === "unlisted" ? [`not listed: ${confirmed.name}`] : []
}

/** How these cases end, as the command line writes it; those of the last replay, by their lines. */
function outcomes(lines: readonly number[]): string {
  return csvText([[...OUTCOME_HEADER], ...lines.flatMap((line) => [ends.get(line)?.() ?? []])])
}

/** Two graphs as shipped on the same cases; undefined where the older cannot be run. */
function compare(old: string, fresh: string, text: string): Comparison | undefined {
  const contest = new ComparisonTally(JSON.parse(old), JSON.parse(fresh))
  const { graphs } = contest
  const before = readCases(text, graphs.old)
  for (const line of readCases(text, graphs.fresh)) {
    const same = before.next().value
    if (line.case && same?.case) contest.add(same.case, line.case)
  }
  return contest.result()
}

export const functions = { replay, outcomes, compare }
serve(functions)
