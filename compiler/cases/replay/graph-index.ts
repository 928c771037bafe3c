/**
 * A graph made ready for walking at speed: at each node, from what was found straight to the edge, by integers. Edges
 * are numbered through all nodes, so that a walk can be counted in one array.
 */
import {
  type Found,
  type Graph,
  type GraphEdge,
  type GraphNode,
  open,
  type Session,
} from "../../run/index.ts"
import { readsOf } from "../record/graph-lookup.ts"

export interface GraphIndex {
  readonly graph: Graph
  /** The runner's, with nothing found yet. */
  readonly session: Session
  /** Number of the first edge of each node; one more at the end, the number of edges. */
  readonly first: Int32Array
  readonly edges: readonly GraphEdge[]
  /** Node at which each edge begins. */
  readonly from: Int32Array
  /** By node: the edge of a combination of cells, `key`ed; -1 where no listed fault fits. */
  readonly byCells: readonly (ReadonlyMap<number, number> | Int32Array | undefined)[]
  readonly gone: Int32Array
  readonly stays: Int32Array
  /** By node: the one reading that is all its test takes, or -1; its cell alone then leads on. */
  readonly single: Int32Array
  /** By test: what one cell of each of its readings adds to the key. */
  readonly strides: readonly Float64Array[]
  /** By node: chance that a job comes through it, as the graph expects. */
  readonly reach: Float64Array
  /** By node: its place in an order in which every edge leads further on; and the nodes in that order. */
  readonly rank: Int32Array
  readonly ranked: Int32Array
}

/** @throws RunError where it is not a graph that the runner can run. */
export function indexGraph(document: unknown): GraphIndex {
  const session = open(document)
  const graph = document as Graph
  const { nodes } = graph
  const first = new Int32Array(nodes.length + 1)
  nodes.forEach((node, n) => {
    first[n + 1] = first[n]! + edgesOf(node).length
  })
  const edges = nodes.flatMap(edgesOf)
  const from = new Int32Array(edges.length)
  const gone = new Int32Array(nodes.length).fill(-1)
  const stays = new Int32Array(nodes.length).fill(-1)
  const strides = graph.tests.map((_, test) => {
    let stride = 1
    return Float64Array.from(readsOf(graph, test) ?? [], (reading) => {
      const own = stride
      stride *= graph.readings[reading]!.cells.length
      return own
    })
  })
  const byCells = nodes.map((node, n) => {
    if (node.do !== "test") return undefined
    const keyed = new Map<number, number>()
    const size = (readsOf(graph, node.test) ?? []).reduce(
      (all, r) => all * graph.readings[r]!.cells.length,
      1,
    )
    node.edges.forEach((edge, i) => {
      const number = first[n]! + i
      from[number] = n
      if (edge.cells === "gone") gone[n] = number
      else if (edge.cells === "stays") stays[n] = number
      else keyed.set(key(strides[node.test]!, edge.cells), number)
    })
    return size <= mostDense ? dense(keyed, size) : keyed
  })
  return {
    graph,
    session,
    first,
    edges,
    from,
    byCells,
    gone,
    stays,
    strides,
    single: singlesOf(graph),
    ...orderOf(graph),
  }
}

/** Number of the edge that waits for this finding at a node that does a test; -1 where no listed fault fits it. */
export function follow(index: GraphIndex, node: number, found: Found): number {
  if (found === "gone") return index.gone[node]!
  if (found === "stays") return index.stays[node]!
  const here = index.graph.nodes[node]!
  if (here.do !== "test") return -1
  const edges = index.byCells[node]!
  const at = key(index.strides[here.test]!, found as readonly number[])
  return (edges instanceof Int32Array ? edges[at] : edges.get(at)) ?? -1
}

/** The same where the test takes one reading. */
export function followCell(index: GraphIndex, node: number, cell: number): number {
  const edges = index.byCells[node]!
  return (edges instanceof Int32Array ? edges[cell] : edges.get(cell)) ?? -1
}

/** A table where the combinations are few, which an index finds faster than a hash. */
const mostDense = 256

function dense(keyed: ReadonlyMap<number, number>, size: number): Int32Array {
  const edges = new Int32Array(size).fill(-1)
  for (const [at, edge] of keyed) edges[at] = edge
  return edges
}

/** Mixed radix: one number for one combination of cells. */
function key(strides: Float64Array, cells: readonly number[]): number {
  let sum = 0
  for (let i = 0; i < cells.length; i++) sum += strides[i]! * cells[i]!
  return sum
}

function singlesOf(graph: Graph): Int32Array {
  return Int32Array.from(graph.nodes, (node) => {
    const reads = node.do === "test" ? readsOf(graph, node.test) : undefined
    return reads?.length === 1 ? reads[0]! : -1
  })
}

function edgesOf(node: GraphNode): readonly GraphEdge[] {
  return node.do === "test" ? node.edges : []
}

/** Every node after all that lead to it (A. B. Kahn, Communications of the ACM 5, 1962), chances summed on the way. */
function orderOf({ nodes, start }: Graph): Pick<GraphIndex, "reach" | "rank" | "ranked"> {
  const reach = new Float64Array(nodes.length)
  const rank = new Int32Array(nodes.length)
  const ranked = new Int32Array(nodes.length)
  const waiting = new Int32Array(nodes.length)
  for (const node of nodes) for (const edge of edgesOf(node)) waiting[edge.to]!++
  const ready = nodes.flatMap((_, n) => (waiting[n] === 0 ? [n] : []))
  reach[start] = 1
  let place = 0
  for (let n = ready.pop(); n !== undefined; n = ready.pop()) {
    ranked[place] = n
    rank[n] = place++
    for (const edge of edgesOf(nodes[n]!)) {
      reach[edge.to]! += reach[n]! * edge.chance
      if (--waiting[edge.to]! === 0) ready.push(edge.to)
    }
  }
  return { reach, rank, ranked }
}
