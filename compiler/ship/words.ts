/** How the parts of a graph are called in everything that is read by people. */
import type { Graph, GraphEdge, GraphNode, Remedy } from "../run/graph.ts"

export type NodeKind = "reads" | "told" | "swaps" | "redoes" | "putBack" | "verdict" | "handover" | "advise"

export function kindOf(graph: Graph, node: GraphNode): NodeKind {
  if (node.do !== "test") return node.do
  return node.putBack ? "putBack" : graph.tests[node.test]!.kind
}

export function percent(chance: number): string {
  const value = chance * 100
  if (value > 0 && value < 0.1) return "< 0.1 %"
  if (value >= 99.95 && value < 100) return "> 99.9 %"
  return `${value < 10 && value % 1 !== 0 ? value.toFixed(1) : Math.round(value)} %`
}

export function remedyText(graph: Graph, remedy: Remedy): string {
  const label = remedy.place === undefined ? "" : graph.places[remedy.place]!.label
  if (remedy.kind === "replace") return `Replace: ${label}`
  if (remedy.kind === "redo") return `Redo: ${label}`
  return "Nothing more to do: it is mended"
}

export function nodeTitle(graph: Graph, node: GraphNode): string {
  if (node.do === "verdict") return remedyText(graph, node.remedy)
  if (node.do === "handover") return "Hand over"
  if (node.do === "advise") return "Not planned ahead: ask the runner"
  if (!node.putBack) return graph.tests[node.test]!.instruction
  const { part } = graph.model.tests[node.test]!
  return `Put the old part back: ${part === undefined ? "" : graph.places[part]!.label}`
}

/** Minutes, power, what is needed; of a verdict how sure it is. */
export function nodeFacts(graph: Graph, node: GraphNode): string[] {
  if (node.do === "verdict")
    return [`${node.remedy.kind === "done" ? "sure" : "mends it"}: ${percent(node.chance)}`]
  if (node.do !== "test") return []
  const { minutes, power, needs } = graph.tests[node.test]!
  return [
    `${minutes} min`,
    ...(power === undefined ? [] : [`power ${power}`]),
    ...(needs.length === 0 ? [] : [`needs ${needs.join(", ")}`]),
  ]
}

export function cautionsOf(graph: Graph, node: GraphNode): readonly string[] {
  return node.do === "test" ? graph.tests[node.test]!.cautions : []
}

/** `22.8 to 25.2 V`, `complaint gone`; with the names of the readings where the test has several. */
export function outcomeText(graph: Graph, test: number, cells: GraphEdge["cells"]): string {
  if (cells === "gone") return "complaint gone"
  if (cells === "stays") return "complaint stays"
  const reads = graph.model.tests[test]!.reads ?? []
  const parts = cells.map((cell, i) => {
    const { name, cells: all } = graph.readings[reads[i]!]!
    const { label } = all[cell]!
    return reads.length > 1 ? `${name} ${label}` : label
  })
  return parts.join(", ")
}
