import { Graph, layout } from "@dagrejs/dagre"
import { serve } from "../workers/rpc.ts"
import { type Layout, type LayoutInput, NODE_HEIGHT, NODE_WIDTH, STUB_HEIGHT, STUB_WIDTH } from "./layout.ts"

/** Layered from left to right by dagre; in a worker, since a thousand nodes take about a second. */
function arrange(input: LayoutInput): Layout {
  const graph = new Graph({ multigraph: true })
  graph.setGraph({ rankdir: "LR", ranker: "tight-tree", nodesep: 14, edgesep: 6, ranksep: 40 })
  for (const id of input.nodes) graph.setNode(String(id), { width: NODE_WIDTH, height: NODE_HEIGHT })
  for (const id of input.stubs) graph.setNode(`f${id}`, { width: STUB_WIDTH, height: STUB_HEIGHT })
  for (const [i, edge] of input.edges.entries())
    graph.setEdge(
      String(edge.from),
      String(edge.to),
      { width: edge.labelWidth, height: 14, labelpos: "c" },
      String(i),
    )
  for (const id of input.stubs) graph.setEdge(String(id), `f${id}`, {}, "f")
  layout(graph)
  const place = (name: string) => {
    const { x = 0, y = 0 } = graph.node(name)
    return { x, y }
  }
  const size = graph.graph()
  return {
    width: size.width ?? 0,
    height: size.height ?? 0,
    nodes: new Map(input.nodes.map((id) => [id, place(String(id))])),
    stubs: new Map(input.stubs.map((id) => [id, place(`f${id}`)])),
    edges: input.edges.map((edge, i) => {
      const laid = graph.edge(String(edge.from), String(edge.to), String(i))
      // Out of the middle of one side and into the middle of the other, whatever side the straight line would cut.
      const from = place(String(edge.from))
      const to = place(String(edge.to))
      const points = [
        { x: from.x + NODE_WIDTH / 2, y: from.y },
        ...(laid.points?.slice(1, -1) ?? []),
        { x: to.x - NODE_WIDTH / 2, y: to.y },
      ]
      return { points, x: laid.x ?? 0, y: laid.y ?? 0 }
    }),
  }
}

export const functions = { arrange }
serve(functions)
