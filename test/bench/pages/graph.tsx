import type { Plain } from "../../support/plain.ts"
import "../../../playground/style/tokens.css"
import "../../../playground/style/base.css"
import "../../../playground/style/graph.css"
import "../../../playground/graph/drawing.css"
import { render } from "preact"
import type { Graph, GraphNode } from "../../../compiler/run/graph.ts"
import { Canvas, type CanvasProps } from "../../../playground/graph/canvas.tsx"
import type { functions } from "../../../playground/graph/layout.worker.ts"
import LayoutWorker from "../../../playground/graph/layout.worker.ts?worker"
import { figuresOf } from "../../../playground/graph/node-figures.ts"
import { visibleOf } from "../../../playground/graph/visible.ts"
import { forward } from "../../../playground/workers/rpc.ts"

/** A made-up graph of the size that is asked for: mostly a tree, one edge in five goes to a node that is there already. */
function graphOf(size: number): Graph {
  let seed = 7
  const random = () => {
    seed = (seed * 1103515245 + 12345) & 0x7fffffff
    return seed / 0x7fffffff
  }
  const edges: number[][] = Array.from({ length: size }, () => [])
  let next = 1
  for (let at = 0; at < size && next < size; at++) {
    const ways = random() < 0.3 ? 3 : 2
    for (let way = 0; way < ways; way++) {
      const merge = random() < 0.2 && next > at + 2
      if (merge) edges[at]!.push(at + 1 + Math.floor(random() * (next - at - 1)))
      else if (next < size) edges[at]!.push(next++)
    }
  }
  const nodes = edges.map((to): Plain<GraphNode> => {
    if (to.length === 0) return { do: "handover", candidates: [{ fault: 0, present: 1, active: 1 }] }
    const ways = [...new Set(to)]
    return {
      do: "test",
      test: 0,
      cost: 3,
      costToGo: 12,
      edges: ways.map((each, i) => ({
        on: [i],
        chance: 1 / ways.length,
        to: each,
        rulesOut: [],
        because: [],
      })),
    }
  })
  const labels = ["dark", "dim", "bright"]
  return {
    money: "EUR",
    comeback: 1,
    handover: 1,
    places: [],
    faults: [{ name: "f", label: "fault", place: 0, odds: 1 }],
    readings: [
      { name: "r", question: "?", told: false, cells: labels.map((label) => ({ label, values: [label] })) },
    ],
    tests: [
      {
        name: "t",
        instruction: "Look at the light of the board",
        kind: "reads",
        minutes: 1,
        cost: 1,
        needs: [],
        cautions: [],
      },
    ],
    rules: [],
    start: 0,
    nodes,
    expected: { total: 1 },
    model: { tests: [{ reads: [0] }] },
  } as unknown as Graph
}

/** Draws a graph of `size` nodes, nothing folded; gives the time to lay it out in the worker, and until it is drawn. */
async function draw(size: number): Promise<{ laidOut: number; drawn: number }> {
  const graph = graphOf(size)
  const figures = figuresOf(graph)
  const visible = visibleOf(graph, figures, 0, new Set())
  const from = performance.now()
  const layout = await forward<typeof functions>(new LayoutWorker()).arrange({
    nodes: visible.nodes,
    stubs: [],
    edges: visible.edges.map(({ from, to }) => ({ from, to, labelWidth: 50 })),
  })
  const laidOut = performance.now() - from
  const none = new Set<number>()
  const props: CanvasProps = {
    graph,
    figures,
    picture: { visible, layout, focus: "whole" },
    arranging: 0,
    lit: none,
    path: none,
    state: { camera: undefined },
    found: none,
    chosen: 0,
    onChoose: () => {},
    onOpen: () => {},
  }
  render(<Canvas {...props} />, document.getElementById("graph")!)
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done)))
  return { laidOut, drawn: performance.now() - from - laidOut }
}

Object.assign(globalThis, { draw })
