/** How the parts of a graph are called in everything that is read by people. */
import type { Graph, GraphEdge, GraphNode, Remedy } from "../run/graph.ts"
import { actionTitle, outcomeText } from "../wording/actions.ts"
import { minutes as minutesText, percent } from "../wording/figures.ts"
import { cellsText } from "../wording/ranges.ts"

export type NodeKind = "reads" | "told" | "swaps" | "redoes" | "putBack" | "verdict" | "handover" | "advise"

export function kindOf(graph: Graph, node: GraphNode): NodeKind {
  if (node.do !== "test") return node.do
  return node.putBack ? "putBack" : graph.tests[node.test]!.kind
}

export function remedyText(graph: Graph, remedy: Remedy): string {
  const label = remedy.place === undefined ? "" : graph.places[remedy.place]!.label
  if (remedy.kind === "replace") return actionTitle("replace", [label])
  if (remedy.kind === "redo") return actionTitle("redoes", [label])
  return "Nothing more to do: the machine is fixed"
}

export function nodeTitle(graph: Graph, node: GraphNode): string {
  if (node.do === "verdict") return remedyText(graph, node.remedy)
  if (node.do === "handover" || node.do === "advise") return actionTitle(node.do)
  if (!node.putBack) return graph.tests[node.test]!.instruction
  const { part } = graph.model.tests[node.test]!
  return actionTitle("putBack", part === undefined ? [] : [graph.places[part]!.label])
}

/** Minutes, power, what is needed; of a verdict how sure it is. */
export function nodeFacts(graph: Graph, node: GraphNode): string[] {
  if (node.do === "verdict")
    return [`${node.remedy.kind === "done" ? "certain" : "fixes it"}: ${percent(node.chance)}`]
  if (node.do !== "test") return []
  const { minutes, power, needs } = graph.tests[node.test]!
  return [
    minutesText(minutes),
    ...(power === undefined ? [] : [`power ${power}`]),
    ...(needs.length === 0 ? [] : [`needs ${needs.join(", ")}`]),
  ]
}

export function cautionsOf(graph: Graph, node: GraphNode): readonly string[] {
  return node.do === "test" ? graph.tests[node.test]!.cautions : []
}

/** `22.8 to 25.2 V`, `complaint gone`; with the names of the readings where the test has several. */
export function outcomesText(graph: Graph, test: number, outcomes: readonly GraphEdge["cells"][]): string {
  const reads = graph.model.tests[test]!.reads ?? []
  const alone = outcomes.flatMap((cells) => (typeof cells === "string" ? [] : cells))
  if (reads.length === 1 && alone.length === outcomes.length)
    return cellsText(graph.readings[reads[0]!]!, alone)
  return outcomes.map((cells) => edgeText(graph, reads, cells)).join(" or ")
}

function edgeText(graph: Graph, reads: readonly number[], cells: GraphEdge["cells"]): string {
  if (typeof cells === "string") return outcomeText[cells]
  return cells
    .map((cell, i) => {
      const { name, cells: all } = graph.readings[reads[i]!]!
      return reads.length > 1 ? `${name} ${all[cell]!.label}` : all[cell]!.label
    })
    .join(", ")
}
