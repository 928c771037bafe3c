import type { Plan } from "../../compiler/plan/plan.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { addTo, at } from "../../compiler/run/lookup.ts"
import { isStep, nodeOf } from "./labels.ts"

/** What the picture shows beside the nodes themselves; one entry per node of the graph. */
export interface NodeFigures {
  /** Chance that a job comes through the node. */
  readonly reach: Float64Array
  /** The likeliest way in: the node before and its edge; -1 at the start. */
  readonly parent: Int32Array
  readonly parentEdge: Int32Array
}

/** Chance that a job comes through a node. */
export function reachOf({ reach }: NodeFigures, node: number): number {
  return at(reach, node)
}

/** One sweep over the nodes in topological order; linear in the edges. */
export function figuresOf(graph: Graph): NodeFigures {
  const size = graph.nodes.length
  const reach = new Float64Array(size)
  const parent = new Int32Array(size).fill(-1)
  const parentEdge = new Int32Array(size).fill(-1)
  const bestShare = new Float64Array(size)
  reach[graph.start] = 1
  for (const from of topological(graph)) {
    const node = nodeOf(graph, from)
    if (!isStep(node)) continue
    for (const [i, { chance, to }] of node.edges.entries()) {
      if (to === undefined) continue
      const share = at(reach, from) * chance
      addTo(reach, to, share)
      if (share < at(bestShare, to)) continue
      bestShare[to] = share
      parent[to] = from
      parentEdge[to] = i
    }
  }
  return { reach, parent, parentEdge }
}

/** The node of the graph that each node of the plan was written as; the graph merges what looks the same. */
export function graphNodes(graph: Graph, plan: Plan): Int32Array {
  const nodes = new Int32Array(plan.nodes.length).fill(-1)
  const queue = [plan.start]
  nodes[plan.start] = graph.start
  for (const from of queue) {
    const [planned, written] = [at(plan.nodes, from), nodeOf(graph, at(nodes, from))]
    if (!("edges" in planned) || !isStep(written)) continue
    for (const [i, { to }] of planned.edges.entries()) {
      const target = written.edges[i]?.to
      if (to === undefined || target === undefined || nodes[to] !== -1) continue
      nodes[to] = target
      queue.push(to)
    }
  }
  return nodes
}

/** Nodes that the start reaches, each before all that follow it. */
function topological(graph: Graph): number[] {
  const done = new Uint8Array(graph.nodes.length)
  const order: number[] = []
  const stack: { at: number; edge: number }[] = [{ at: graph.start, edge: 0 }]
  done[graph.start] = 1
  for (let top = stack.at(-1); top; top = stack.at(-1)) {
    const node = nodeOf(graph, top.at)
    const edge = isStep(node) ? node.edges[top.edge] : undefined
    if (!edge) {
      order.push(top.at)
      stack.pop()
      continue
    }
    top.edge += 1
    if (edge.to === undefined || done[edge.to]) continue
    done[edge.to] = 1
    stack.push({ at: edge.to, edge: 0 })
  }
  return order.reverse()
}
