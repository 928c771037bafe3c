import type { Graph } from "../../compiler/run/graph.ts"
import { at, last } from "../../compiler/run/lookup.ts"
import { isStep, nodeOf } from "./labels.ts"
import { type NodeFigures, reachOf } from "./node-figures.ts"

/** The part of the graph that is drawn, with a stub where unlikely branches are folded away. */
export interface Visible {
  readonly nodes: readonly number[]
  readonly edges: readonly { readonly from: number; readonly edge: number; readonly to: number }[]
  /** By node: how many of its outcomes are folded, and the chance of a job to go there. */
  readonly folds: ReadonlyMap<number, { readonly outcomes: number; readonly chance: number }>
}

/** Folds each outcome whose branch fewer than `least` of all jobs take, save below the nodes in `opened`. */
export function visibleOf(
  graph: Graph,
  figures: NodeFigures,
  least: number,
  opened: ReadonlySet<number>,
): Visible {
  const seen = new Set([graph.start])
  const queue = [graph.start]
  const edges: { from: number; edge: number; to: number }[] = []
  const folds = new Map<number, { outcomes: number; chance: number }>()
  for (const at of queue) {
    const node = nodeOf(graph, at)
    if (!isStep(node)) continue
    for (const [i, edge] of node.edges.entries()) {
      const { to } = edge
      // The job ends there: nothing is left to draw.
      if (to === undefined) continue
      const share = reachOf(figures, at) * edge.chance
      if (share < least && !opened.has(at)) {
        const fold = folds.get(at) ?? { outcomes: 0, chance: 0 }
        folds.set(at, { outcomes: fold.outcomes + 1, chance: fold.chance + share })
        continue
      }
      edges.push({ from: at, edge: i, to })
      if (seen.has(to)) continue
      seen.add(to)
      queue.push(to)
    }
  }
  return { nodes: queue, edges, folds }
}

export const SHARES = [0, 0.001, 0.005, 0.01, 0.02, 0.05, 0.1] as const
/** A picture with more nodes than this is no overview. */
const CALM = 70

/** Laying out more nodes takes far longer than anybody waits: three times as many took ten times as long and more. */
const MOST = 1500

export interface Fold {
  readonly share: number
  /** Nodes that it leaves, and whether they can be drawn. */
  readonly nodes: number
  readonly fits: boolean
}

/** What can be folded away, the least first. */
export function foldsOf(graph: Graph, figures: NodeFigures): Fold[] {
  const none = new Set<number>()
  return SHARES.map((share, i) => {
    const nodes = visibleOf(graph, figures, share, none).nodes.length
    return { share, nodes, fits: nodes <= MOST || i === SHARES.length - 1 }
  })
}

/** The least fold that leaves a picture one can take in. */
export function firstFold(folds: readonly Fold[]): number {
  return folds.find(({ nodes }) => nodes <= CALM)?.share ?? last(SHARES)
}

/** Nodes to open so that `target` is drawn: those on its likeliest way in. */
export function wayTo(figures: NodeFigures, target: number): number[] {
  const way: number[] = []
  const before = (node: number) => at(figures.parent, node)
  for (let node = before(target); node >= 0; node = before(node)) way.push(node)
  return way.reverse()
}
