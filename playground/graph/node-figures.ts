import type { Graph, GraphNode } from "../../compiler/run/graph.ts"

/** What the picture shows beside the nodes themselves; one entry per node of the graph. */
export interface Figures {
  /** Chance that a job comes through the node. */
  readonly reach: Float64Array
  /** Expected money from the node on, under the plan; what an `advise` leaves open is not in it. */
  readonly toGo: Float64Array
  /** Chance to come from the node to an `advise`. */
  readonly open: Float64Array
  /** The likeliest way in: the node before and its edge; -1 at the start. */
  readonly parent: Int32Array
  readonly parentEdge: Int32Array
}

/** Two sweeps over the nodes in topological order; linear in the edges. */
export function figuresOf(graph: Graph): Figures {
  const order = topological(graph)
  const size = graph.nodes.length
  const reach = new Float64Array(size)
  const toGo = new Float64Array(size)
  const open = new Float64Array(size)
  const parent = new Int32Array(size).fill(-1)
  const parentEdge = new Int32Array(size).fill(-1)
  const bestShare = new Float64Array(size)
  reach[graph.start] = 1
  for (const at of order) {
    const node = graph.nodes[at]!
    if (node.do !== "test") continue
    for (const [i, edge] of node.edges.entries()) {
      const share = reach[at]! * edge.chance
      reach[edge.to]! += share
      if (share < bestShare[edge.to]!) continue
      bestShare[edge.to] = share
      parent[edge.to] = at
      parentEdge[edge.to] = i
    }
  }
  for (const at of [...order].reverse()) {
    const node = graph.nodes[at]!
    toGo[at] = costFrom(graph, node, toGo)
    open[at] = openFrom(node, open)
  }
  toGo[graph.start] = graph.expected.total
  open[graph.start] = 0
  return { reach, toGo, open, parent, parentEdge }
}

function costFrom(graph: Graph, node: GraphNode, toGo: Float64Array): number {
  switch (node.do) {
    case "test":
      return node.edges.reduce((sum, edge) => sum + edge.chance * toGo[edge.to]!, node.cost)
    case "verdict": {
      const place = node.remedy.kind === "replace" ? graph.places[node.remedy.place!] : undefined
      return (1 - node.chance) * ((place?.price ?? 0) + graph.comeback)
    }
    case "handover":
      return graph.handover
    case "advise":
      return 0
  }
}

function openFrom(node: GraphNode, open: Float64Array): number {
  if (node.do === "advise") return 1
  return node.do === "test" ? node.edges.reduce((sum, edge) => sum + edge.chance * open[edge.to]!, 0) : 0
}

/** Nodes that the start reaches, each before all that follow it. */
function topological(graph: Graph): number[] {
  const done = new Uint8Array(graph.nodes.length)
  const order: number[] = []
  const stack: { at: number; edge: number }[] = [{ at: graph.start, edge: 0 }]
  done[graph.start] = 1
  while (stack.length > 0) {
    const top = stack[stack.length - 1]!
    const node = graph.nodes[top.at]!
    const edge = node.do === "test" ? node.edges[top.edge] : undefined
    if (!edge) {
      order.push(top.at)
      stack.pop()
      continue
    }
    top.edge += 1
    if (done[edge.to]) continue
    done[edge.to] = 1
    stack.push({ at: edge.to, edge: 0 })
  }
  return order.reverse()
}
