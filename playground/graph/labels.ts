import type { Graph, GraphAction, GraphEdge, GraphNode, GraphStep } from "../../compiler/run/graph.ts"
import { type ActionKind, actionTitle, actionVerb, outcomeText } from "../../compiler/wording/actions.ts"
import { cellsText } from "../../compiler/wording/ranges.ts"
import { money } from "../figures.ts"
import type { NodeFigures } from "./node-figures.ts"

/** What nodes and edges are called, the same everywhere: in the picture, beside it, and to a screen reader. */

/** Nodes and actions alike. */
type Action = GraphAction | { readonly do: "handover" | "advise" }

export function isStep(node: GraphNode): node is GraphStep {
  return node.do !== "handover" && node.do !== "advise"
}

export function kindOf(graph: Graph, node: GraphNode): ActionKind {
  return node.do === "test" ? graph.tests[node.test]!.kind : node.do
}

export function kindText(graph: Graph, node: GraphNode): string {
  return node.do === "advise" ? "Open" : actionVerb[kindOf(graph, node)]
}

/** In a page, a branch that isn't planned ahead is planned once a job gets there. */
export function nodeTitle(graph: Graph, node: GraphNode): string {
  switch (node.do) {
    case "test":
      return graph.tests[node.test]!.instruction
    case "fix":
      return actionTitle("fix", [graph.faults[node.fault]!.label])
    case "look":
    case "close":
    case "handover":
      return actionTitle(node.do)
    case "advise":
      return "Planned when reached"
    default:
      return actionTitle(node.do, [graph.places[node.part]!.label])
  }
}

/** `22.8 to 25.2 V`, `complaint gone`; with the names of the readings where the test has several. */
export function edgeText(graph: Graph, node: GraphStep, { on, leaveIn }: GraphEdge): string {
  if (typeof on === "string") return `${outcomeText[on]}${leaveIn ? ", part left in" : ""}`
  const reads = node.do === "test" ? (graph.model.tests[node.test]!.reads ?? []) : []
  const texts = on.map((cell, i) => {
    const reading = graph.readings[reads[i]!]!
    const text = cellsText(reading, [cell])
    return on.length > 1 ? `${reading.name} ${text}` : text
  })
  return texts.join(", ")
}

/** Where an edge leads, or that the job ends there. */
export function targetText(graph: Graph, { to }: GraphEdge): string {
  return to === undefined ? "the job ends" : nodeTitle(graph, graph.nodes[to]!)
}

export function costToGo(graph: Graph, { costToGo }: NodeFigures, at: number): string {
  return money(costToGo[at]!, graph.money)
}

/** The place that an action works on, if it works on one. */
export function placeOf(graph: Graph, action: Action): number | undefined {
  if (action.do === "fix") return graph.faults[action.fault]!.place
  return "part" in action ? action.part : undefined
}

/** What can hurt: a test's own cautions; of work on a place, those of the tests that work on it too. */
export function cautionsOf(graph: Graph, action: Action): readonly string[] {
  if (action.do === "handover" || action.do === "advise") return []
  if (action.do === "test") return graph.tests[action.test]!.cautions
  const place = placeOf(graph, action)
  if (place === undefined || action.do === "keep") return []
  const works = graph.model.tests.flatMap(({ parts, redoes }, i) =>
    parts?.includes(place) || redoes?.some(([setup]) => setup === place) ? [graph.tests[i]!] : [],
  )
  return [...new Set(works.flatMap(({ cautions }) => cautions))]
}
