import type { Graph, GraphAction, GraphEdge, GraphNode, GraphStep } from "../../compiler/run/graph.ts"
import { itemAt } from "../../compiler/run/lookup.ts"
import * as ship from "../../compiler/ship/labels.ts"
import { actionVerb } from "../../compiler/wording/actions.ts"
import { money } from "../ui/figures.ts"

/** What nodes and edges are called, the same everywhere: in the picture, beside it, and to a screen reader. */

export { edgeText, isStep, kindOf } from "../../compiler/ship/labels.ts"

/** @throws RangeError where the graph has no such node */
export function nodeOf(graph: Graph, index: number): GraphNode {
  return itemAt(graph.nodes, index)
}

export function kindText(graph: Graph, node: GraphNode): string {
  return node.do === "advise" ? "Open" : actionVerb(ship.kindOf(graph, node))
}

/** In a page, a branch that isn't planned ahead is planned once a job gets there. */
export function nodeTitle(graph: Graph, node: GraphNode): string {
  return node.do === "advise" ? "Planned when reached" : ship.nodeTitle(graph, node)
}

/** By step: the likeliest value of each of its readings; asked for again with every outcome of it that is drawn. */
const likeliest = new WeakMap<GraphStep, readonly number[]>()

function likeliestCells(node: GraphStep): readonly number[] {
  const known = likeliest.get(node)
  if (known) return known
  const chances: Map<number, number>[] = []
  for (const { on, chance } of node.edges) {
    if (typeof on === "string") continue
    for (const [i, cell] of on.entries()) {
      chances[i] ??= new Map()
      chances[i].set(cell, (chances[i].get(cell) ?? 0) + chance)
    }
  }
  const found = chances.map((cells) => [...cells].reduce((a, b) => (b[1] > a[1] ? b : a))[0])
  likeliest.set(node, found)
  return found
}

/** An outcome in few words: of several readings those that tell it from the likeliest outcome. */
export function shortEdgeText(graph: Graph, node: GraphStep, edge: GraphEdge): string {
  const whole = ship.edgeText(graph, node, edge)
  if (typeof edge.on === "string" || edge.on.length < 2) return whole
  const usual = likeliestCells(node)
  const { on } = edge
  const telling = ship.readTexts(graph, node, on).filter((_, i) => on[i] !== usual[i])
  return telling.length === 0 || telling.length === on.length ? whole : `… ${telling.join(", ")}`
}

/** Where an edge leads, or that the job ends there. */
export function targetText(graph: Graph, { to }: GraphEdge): string {
  return to === undefined ? "the job ends" : nodeTitle(graph, nodeOf(graph, to))
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

const asNode = (action: GraphAction): GraphNode => ({ ...action, cost: 0, costToGo: 0, edges: [] })
