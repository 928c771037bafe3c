/**
 * A graph made ready for walking at speed: at each node, from what was found straight to the edge, by integers. Edges
 * are numbered through all nodes, so that walks can be counted in one array.
 */

import { checkGraph } from "../../run/check.ts"
import {
  type Found,
  type Graph,
  type GraphEdge,
  type GraphNode,
  open,
  type Session,
} from "../../run/index.ts"
import type { CellIndex, NodeIndex, ReadingIndex, Table, TestIndex } from "../../run/indexes.ts"
import { addTo, at } from "../../run/lookup.ts"
import { readsOf } from "../record/graph-lookup.ts"
import { TrueMachine } from "./true-machine.ts"

export interface GraphIndex {
  readonly graph: Graph
  readonly trueMachine: TrueMachine
  /** The runner's session with nothing found yet. */
  readonly session: () => Session
  /** Number of the first edge of each node; one more at the end, the number of edges. */
  readonly first: Int32Array
  readonly edges: readonly GraphEdge[]
  /** Node at which each edge begins. */
  readonly from: readonly NodeIndex[]
  /** By node: the edge of a combination of cells, by its `key`; -1 where no state of the machine fits. */
  readonly byCells: Table<NodeIndex, ReadonlyMap<number, number> | Int32Array | undefined>
  /** By node and `WORDS`: the edge, or -1. */
  readonly byWord: Int32Array
  /** By node: the one reading that is all its test takes, or -1; its cell alone then leads on. */
  readonly single: Table<NodeIndex, ReadingIndex | -1>
  /** By test: what one cell of each of its readings adds to the key. */
  readonly strides: Table<TestIndex, Float64Array>
  /** By node: chance that a job comes through it, as the graph expects. */
  readonly reach: Float64Array
  /** By node: its place in an order in which every edge leads further on; and the nodes in that order. */
  readonly rank: Int32Array
  readonly ranked: readonly NodeIndex[]
  /** Readings that some way through the graph takes twice. */
  readonly retaken: ReadonlySet<ReadingIndex>
}

const WORDS = ["gone", "stays", "holds", "fails", "done"] as const

/** @throws RunError where it is not a graph that the runner can run. */
export function indexGraph(document: unknown): GraphIndex {
  const graph = checkGraph(document)
  let session: Session | undefined
  const { nodes } = graph
  const first = new Int32Array(nodes.length + 1)
  nodes.forEach((node, n) => {
    first[n + 1] = at(first, n) + edgesOf(node).length
  })
  const edges = nodes.flatMap(edgesOf)
  const from = nodes.flatMap((node, n) => edgesOf(node).map(() => n))
  const strides = graph.tests.map((_, test) => stridesOf(graph, test))
  const order = orderOf(graph)
  return {
    graph,
    trueMachine: new TrueMachine(graph),
    session: () => {
      session ??= open(document)
      return session
    },
    first,
    edges,
    from,
    byCells: nodes.map((node, n) => cellEdges(graph, node, at(first, n), strides)),
    byWord: wordEdges(nodes, first),
    strides,
    single: singlesOf(graph),
    ...order,
    retaken: retakenIn(graph, order.ranked),
  }
}

/** Number of the edge that waits for this finding at a node; -1 where no state of the machine fits it. */
export function edgeFor(index: GraphIndex, node: NodeIndex, found: Found): number {
  if (typeof found === "string") return at(index.byWord, node * WORDS.length + WORDS.indexOf(found))
  const here = at(index.graph.nodes, node)
  const edges = index.byCells[node]
  if (here.do !== "test" || edges === undefined) return -1
  const key = keyOfCells(at(index.strides, here.test), found)
  return (edges instanceof Int32Array ? edges[key] : edges.get(key)) ?? -1
}

/** The same where the test takes one reading. */
export function edgeForCell(index: GraphIndex, node: NodeIndex, cell: CellIndex): number {
  const edges = index.byCells[node]
  return (edges instanceof Int32Array ? edges[cell] : edges?.get(cell)) ?? -1
}

/** A table where the combinations are few, which an index finds faster than a hash. */
const MOST_DENSE = 256

function cellEdges(
  graph: Graph,
  node: GraphNode,
  first: number,
  strides: Table<TestIndex, Float64Array>,
): ReadonlyMap<number, number> | Int32Array | undefined {
  if (node.do !== "test") return undefined
  const keyed = new Map<number, number>()
  node.edges.forEach(({ on }, i) => {
    if (typeof on !== "string") keyed.set(keyOfCells(at(strides, node.test), on), first + i)
  })
  const size = (readsOf(graph, node.test) ?? []).reduce(
    (all, reading) => all * at(graph.readings, reading).cells.length,
    1,
  )
  if (size > MOST_DENSE) return keyed
  const edges = new Int32Array(size).fill(-1)
  for (const [key, edge] of keyed) edges[key] = edge
  return edges
}

function wordEdges(nodes: Graph["nodes"], first: Int32Array): Int32Array {
  const edges = new Int32Array(nodes.length * WORDS.length).fill(-1)
  nodes.forEach((node, n) => {
    edgesOf(node).forEach(({ on }, i) => {
      if (typeof on === "string") edges[n * WORDS.length + WORDS.indexOf(on)] = at(first, n) + i
    })
  })
  return edges
}

function stridesOf(graph: Graph, test: TestIndex): Float64Array {
  let stride = 1
  return Float64Array.from(readsOf(graph, test) ?? [], (reading) => {
    const own = stride
    stride *= at(graph.readings, reading).cells.length
    return own
  })
}

/** Mixed radix: one number for one combination of cells. */
function keyOfCells(strides: Float64Array, cells: readonly CellIndex[]): number {
  let sum = 0
  for (let i = 0; i < cells.length; i++) sum += at(strides, i) * at(cells, i)
  return sum
}

function singlesOf(graph: Graph): Table<NodeIndex, ReadingIndex | -1> {
  return graph.nodes.map((node) => {
    const [reading = -1, ...others] = node.do === "test" ? (readsOf(graph, node.test) ?? []) : []
    return others.length > 0 ? -1 : reading
  })
}

export function edgesOf(node: GraphNode): readonly GraphEdge[] {
  return "edges" in node ? node.edges : []
}

/** Every node after all that lead to it (A. B. Kahn, Communications of the ACM 5, 1962), chances summed on the way. */
function orderOf({ nodes, start }: Graph): Pick<GraphIndex, "reach" | "rank" | "ranked"> {
  const reach = new Float64Array(nodes.length)
  const rank = new Int32Array(nodes.length)
  const ranked: NodeIndex[] = []
  const waiting = new Int32Array(nodes.length)
  for (const node of nodes) for (const { to } of edgesOf(node)) if (to !== undefined) addTo(waiting, to, 1)
  const ready = nodes.flatMap((_, n) => (waiting[n] === 0 ? [n] : []))
  reach[start] = 1
  for (let n = ready.pop(); n !== undefined; n = ready.pop()) {
    rank[n] = ranked.push(n) - 1
    for (const { to, chance } of edgesOf(at(nodes, n))) {
      if (to === undefined) continue
      addTo(reach, to, at(reach, n) * chance)
      if (addTo(waiting, to, -1) === 0) ready.push(to)
    }
  }
  return { reach, rank, ranked }
}

function retakenIn(graph: Graph, ranked: readonly NodeIndex[]): Set<ReadingIndex> {
  const before = graph.nodes.map(() => new Set<ReadingIndex>())
  const twice = new Set<ReadingIndex>()
  for (const n of ranked) {
    const node = at(graph.nodes, n)
    const taken = new Set(before[n])
    for (const reading of node.do === "test" ? (readsOf(graph, node.test) ?? []) : []) {
      if (taken.has(reading)) twice.add(reading)
      taken.add(reading)
    }
    for (const { to } of edgesOf(node))
      if (to !== undefined) for (const reading of taken) at(before, to).add(reading)
  }
  return twice
}
