import type { Graph, GraphEdge, GraphNode } from "../run/graph.ts"
import { cautionsOf, kindOf, type NodeKind, nodeFacts, nodeTitle, outcomesText } from "./labels.ts"

/** What of a graph is drawn, in reading order: the start first, after each step where its likeliest outcome leads. */
export interface Drawing {
  readonly steps: readonly DrawnStep[]
  /** Nodes of the graph that aren't drawn because few jobs get to them. */
  readonly folded: number
  /** Chance that a job stays within what is drawn. */
  readonly covered: number
}

export interface DrawnStep {
  /** Index of the node. */
  readonly node: number
  readonly kind: NodeKind
  readonly title: string
  readonly facts: readonly string[]
  readonly cautions: readonly string[]
  /** Chance that a job gets here. */
  readonly reach: number
  readonly ways: readonly Way[]
}

/** The outcomes of a step that lead to the same node, likeliest way first; those left out come last, as one. */
export interface Way {
  readonly label: string
  /** Chance at this step. */
  readonly chance: number
  /** Index of the node; undefined if the way isn't drawn. */
  readonly to: number | undefined
  readonly rulesOut: readonly number[]
  readonly because: readonly number[]
}

/** Leaves out the nodes that fewer jobs than `least` get to. The start is always drawn. */
export function drawingOf(graph: Graph, least = 0): Drawing {
  const reach = reachOf(graph)
  const drawn = (node: number) => node === graph.start || reach[node]! >= least
  const steps: DrawnStep[] = []
  const seen = new Set<number>()
  let left = 0
  const waiting = [graph.start]
  for (let node = waiting.pop(); node !== undefined; node = waiting.pop()) {
    if (seen.has(node)) continue
    seen.add(node)
    const step = stepOf(graph, node, reach[node]!, drawn)
    steps.push(step)
    for (const { to, chance } of step.ways.toReversed())
      if (to === undefined) left += step.reach * chance
      else waiting.push(to)
  }
  return { steps, folded: graph.nodes.length - steps.length, covered: Math.max(0, 1 - left) }
}

function stepOf(graph: Graph, index: number, reach: number, drawn: (node: number) => boolean): DrawnStep {
  const node = graph.nodes[index]!
  return {
    node: index,
    kind: kindOf(graph, node),
    title: nodeTitle(graph, node),
    facts: nodeFacts(graph, node),
    cautions: cautionsOf(graph, node),
    reach,
    ways: node.do === "test" ? waysOf(graph, node.test, node.edges, drawn) : [],
  }
}

function waysOf(
  graph: Graph,
  test: number,
  edges: readonly GraphEdge[],
  drawn: (node: number) => boolean,
): Way[] {
  const byTarget = new Map<number | undefined, GraphEdge[]>()
  for (const edge of edges) {
    const to = drawn(edge.to) ? edge.to : undefined
    const same = byTarget.get(to)
    if (same) same.push(edge)
    else byTarget.set(to, [edge])
  }
  // One long way is described by what the others are not.
  const longest = Math.max(...[...byTarget.values()].map(({ length }) => length))
  const rest = longest > 6 ? [...byTarget].find(([, { length }]) => length === longest)![0] : null
  const ways = [...byTarget].map(([to, all]): Way => {
    const common = (key: "rulesOut" | "because") =>
      all[0]![key].filter((n) => all.every((edge) => edge[key].includes(n)))
    return {
      label:
        to === rest
          ? `any of the ${longest} other outcomes`
          : outcomesText(
              graph,
              test,
              all.map(({ cells }) => cells),
            ),
      chance: all.reduce((sum, { chance }) => sum + chance, 0),
      to,
      rulesOut: common("rulesOut"),
      because: common("because"),
    }
  })
  return ways.sort((a, b) => Number(a.to === undefined) - Number(b.to === undefined) || b.chance - a.chance)
}

/** By node, the chance that a job gets to it. The runner has checked that there is no cycle. */
export function reachOf(graph: Graph): number[] {
  const edgesOf = (node: GraphNode | undefined) => (node?.do === "test" ? node.edges : [])
  const into = graph.nodes.map(() => 0)
  for (const node of graph.nodes) for (const { to } of edgesOf(node)) into[to]!++
  const reach = graph.nodes.map((_, n) => Number(n === graph.start))
  const free = [...into.keys()].filter((n) => into[n] === 0)
  for (const n of free)
    for (const { to, chance } of edgesOf(graph.nodes[n])) {
      reach[to]! += reach[n]! * chance
      if (--into[to]! === 0) free.push(to)
    }
  return reach
}
