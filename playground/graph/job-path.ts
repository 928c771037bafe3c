import type { Graph, GraphEdge, GraphStep } from "../../compiler/run/graph.ts"
import type { Act, Done, Entry } from "../../compiler/run/index.ts"
import { at, last } from "../../compiler/run/lookup.ts"
import { isStep, nodeOf } from "./labels.ts"

/** The nodes that a job came through, as far as its log keeps to the graph, with the one where it stands. */
export function pathOf(graph: Graph, log: readonly Entry[]): number[] {
  const path = [graph.start]
  for (const entry of log) {
    const node = nodeOf(graph, last(path))
    if (!isStep(node) || !("act" in entry) || !isActOf(graph, node, entry.act)) break
    const edge = node.edges.find((each) => isEdgeOf(each, entry))
    if (edge?.to === undefined) break
    path.push(edge.to)
  }
  return path
}

function isActOf(graph: Graph, node: GraphStep, act: Act): boolean {
  switch (node.do) {
    case "test":
      return "test" in act && act.test === at(graph.tests, node.test).name
    case "fix":
      return "fix" in act && act.fix === at(graph.faults, node.fault).name
    case "look":
    case "close":
      return node.do in act
    default:
      return (act as Readonly<Record<string, unknown>>)[node.do] === at(graph.places, node.part).name
  }
}

function isEdgeOf({ on, leaveIn }: GraphEdge, { found, leftIn }: Done): boolean {
  if (typeof on === "string")
    return on === found && (on !== "stays" || (leaveIn ?? false) === (leftIn ?? false))
  return typeof found !== "string" && on.length === found.length && on.every((cell, i) => cell === found[i])
}
