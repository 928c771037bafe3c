import type { Graph, GraphAction, GraphEdge, GraphNode } from "../../compiler/run/graph.ts"
import * as ship from "../../compiler/ship/labels.ts"
import { actionVerb } from "../../compiler/wording/actions.ts"
import { money } from "../ui/figures.ts"

/** What nodes and edges are called, the same everywhere: in the picture, beside it, and to a screen reader. */

export { cautionsOf, edgeText, isStep, kindOf, placeOf } from "../../compiler/ship/labels.ts"

export function kindText(graph: Graph, node: GraphNode): string {
  return node.do === "advise" ? "Open" : actionVerb(ship.kindOf(graph, node))
}

/** In a page, a branch that isn't planned ahead is planned once a job gets there. */
export function nodeTitle(graph: Graph, node: GraphNode): string {
  return node.do === "advise" ? "Planned when reached" : ship.nodeTitle(graph, node)
}

/** Where an edge leads, or that the job ends there. */
export function targetText(graph: Graph, { to }: GraphEdge): string {
  return to === undefined ? "the job ends" : nodeTitle(graph, graph.nodes[to]!)
}

/** Expected cost from a node to the end of the job. */
export function costToGo(graph: Graph, node: GraphNode): string {
  return money(node.do === "handover" ? graph.handover : node.costToGo, graph.money)
}

/** What an action does that isn't a node of the graph. */
export function titleOfAction(graph: Graph, action: GraphAction | { readonly do: "handover" }): string {
  if (action.do === "handover") return "Hand over"
  return nodeTitle(graph, asNode(action))
}

/** The cautions of an action that isn't a node of the graph. */
export function cautionsOfAction(graph: Graph, action: GraphAction): readonly string[] {
  return ship.cautionsOf(graph, asNode(action))
}

const asNode = (action: GraphAction): GraphNode => ({ ...action, cost: 0, costToGo: 0, edges: [] })
