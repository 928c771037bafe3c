import type { Graph, GraphEdge, GraphNode } from "../../compiler/run/graph.ts"
import * as ship from "../../compiler/ship/labels.ts"
import { money } from "../figures.ts"
import type { Figures } from "./node-figures.ts"

/** How nodes and edges are called, everywhere the same: in the picture, beside it, and to a screen reader. */

export { kindOf, remedyText } from "../../compiler/ship/labels.ts"

/** Cost from a node on; at least that where branches are left to be planned when reached. */
export function costToGo(graph: Graph, { toGo, open }: Figures, at: number): string {
  if (graph.nodes[at]!.do === "advise") return "open"
  const amount = money(toGo[at]!, graph.money)
  return open[at]! < 0.001 ? amount : `≥\u00a0${amount}`
}

/** In a page a branch that is not planned ahead is planned by itself. */
export function nodeTitle(graph: Graph, node: GraphNode): string {
  return node.do === "advise" ? "Planned when reached" : ship.nodeTitle(graph, node)
}

/** `22.8 to 25.2 V`, `complaint gone`; with the names of the readings where the test has several. */
export function edgeText(graph: Graph, node: GraphNode, edge: GraphEdge): string {
  return node.do === "test" ? ship.outcomesText(graph, node.test, [edge.cells]) : ""
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
