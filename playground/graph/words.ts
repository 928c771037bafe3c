import type { Graph, GraphEdge, GraphNode, Remedy } from "../../compiler/run/graph.ts"
import type { Figures } from "./figures.ts"

/** How nodes and edges are called, everywhere the same: in the picture, beside it, and to a screen reader. */

export function percent(chance: number): string {
  const value = chance * 100
  if (value > 0 && value < 0.1) return "<\u00a00.1\u00a0%"
  if (value >= 99.95 && value < 100) return ">\u00a099.9\u00a0%"
  return `${value < 10 && value % 1 !== 0 ? value.toFixed(1) : Math.round(value)}\u00a0%`
}

export function money(amount: number, currency: string): string {
  return `${amount.toFixed(Math.abs(amount) < 100 ? 2 : 0)}\u00a0${currency}`
}

/** Cost from a node on; at least that where branches are left to be planned when reached. */
export function costToGo(graph: Graph, { toGo, open }: Figures, at: number): string {
  if (graph.nodes[at]!.do === "advise") return "open"
  const amount = money(toGo[at]!, graph.money)
  return open[at]! < 0.001 ? amount : `≥\u00a0${amount}`
}

export function remedyText(graph: Graph, remedy: Remedy): string {
  const label = remedy.place === undefined ? "" : graph.places[remedy.place]!.label
  if (remedy.kind === "replace") return `Replace: ${label}`
  if (remedy.kind === "redo") return `Redo: ${label}`
  return "Nothing more to do: cured"
}

export function nodeTitle(graph: Graph, node: GraphNode): string {
  if (node.do === "test") {
    const test = graph.tests[node.test]!
    return node.putBack ? `Put the old part back: ${partOf(graph, node.test)}` : test.instruction
  }
  if (node.do === "verdict") return remedyText(graph, node.remedy)
  return node.do === "handover" ? "Hand over" : "Planned when reached"
}

export function partOf(graph: Graph, test: number): string {
  const part = graph.model.tests[test]?.part
  return part === undefined ? "" : graph.places[part]!.label
}

/** `rail 22.8 to 25.2 V`, `gone`. */
export function edgeText(graph: Graph, node: GraphNode, edge: GraphEdge): string {
  if (edge.cells === "gone") return "complaint gone"
  if (edge.cells === "stays") return "complaint stays"
  const reads = (node.do === "test" && graph.model.tests[node.test]?.reads) || []
  const labels = edge.cells.map(
    (cell, i) => graph.readings[reads[i] ?? -1]?.cells[cell]?.label ?? String(cell),
  )
  if (labels.length < 2) return labels.join("")
  return labels.map((label, i) => `${graph.readings[reads[i]!]!.name} ${label}`).join(", ")
}

export const kindWords = {
  reads: "Read",
  told: "Ask",
  swaps: "Swap",
  redoes: "Redo",
  putBack: "Put back",
  verdict: "Verdict",
  handover: "Hand over",
  advise: "Open",
} as const

export function kindOf(graph: Graph, node: GraphNode): keyof typeof kindWords {
  if (node.do !== "test") return node.do
  return node.putBack ? "putBack" : graph.tests[node.test]!.kind
}
