import type { Graph, GraphEdge, GraphStep } from "../run/graph.ts"
import type { FaultIndex, NodeIndex, RuleIndex, Table } from "../run/indexes.ts"
import { addTo, at } from "../run/lookup.ts"
import { cautionsOf } from "../run/work.ts"
import type { ActionKind } from "../wording/actions.ts"
import * as m from "../wording/compiled/common.ts"
import type { Words } from "../wording/words.ts"
import { disturbedBy, isStep, kindOf, nodeFacts, nodeTitle, outcomesText, remediesOf } from "./labels.ts"
import { picturesOf, type ShownPicture } from "./pictures.ts"

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
  readonly node: NodeIndex
  readonly kind: ActionKind
  readonly title: string
  readonly facts: readonly string[]
  readonly cautions: readonly string[]
  /** Setups that are redone on the way. */
  readonly disturbs: readonly string[]
  readonly remedies: readonly string[]
  readonly pictures: readonly ShownPicture[]
  /** Chance that a job gets here. */
  readonly reach: number
  readonly ways: readonly DrawnEdge[]
}

/** The outcomes of a step that lead to the same node, likeliest way first; those left out come last, as one. */
export interface DrawnEdge {
  readonly label: string
  /** Chance at this step. */
  readonly chance: number
  /** Index of the node; `end` if the job is over; undefined if the way isn't drawn. */
  readonly to: NodeIndex | "end" | undefined
  readonly rulesOut: readonly FaultIndex[]
  readonly because: readonly RuleIndex[]
}

export interface DrawingOptions {
  /** Share of jobs under which a branch is left out. */
  readonly least?: number
  /** What it says beside the texts of the graph; English if not given. */
  readonly words?: Words
}

/** Leaves out the nodes that fewer jobs than `least` get to. The start is always drawn. */
export function drawingOf(graph: Graph, { least, words }: Required<DrawingOptions>): Drawing {
  const reach = reachOf(graph)
  const targetOf = ({ to }: GraphEdge) =>
    to === undefined ? "end" : to === graph.start || at(reach, to) >= least ? to : undefined
  const steps: DrawnStep[] = []
  const seen = new Set<NodeIndex>()
  let left = 0
  const waiting = [graph.start]
  for (let node = waiting.pop(); node !== undefined; node = waiting.pop()) {
    if (seen.has(node)) continue
    seen.add(node)
    const step = stepOf(graph, node, { reach: at(reach, node), targetOf, words })
    steps.push(step)
    for (const { to, chance } of step.ways.toReversed())
      if (to === undefined) left += step.reach * chance
      else if (to !== "end") waiting.push(to)
  }
  return { steps, folded: graph.nodes.length - steps.length, covered: Math.max(0, 1 - left) }
}

interface Drawn {
  readonly reach: number
  readonly targetOf: (edge: GraphEdge) => DrawnEdge["to"]
  readonly words: Words
}

function stepOf(graph: Graph, index: NodeIndex, { reach, targetOf, words }: Drawn): DrawnStep {
  const node = at(graph.nodes, index)
  return {
    node: index,
    kind: kindOf(graph, node),
    title: nodeTitle(graph, node, words),
    facts: nodeFacts(graph, node, words),
    cautions: cautionsOf(graph, node),
    disturbs: disturbedBy(graph, node),
    remedies: remediesOf(graph, node),
    pictures: picturesOf(graph, node),
    reach,
    ways: isStep(node) ? waysOf(graph, node, { targetOf, words }) : [],
  }
}

function waysOf(graph: Graph, node: GraphStep, { targetOf, words }: Omit<Drawn, "reach">): DrawnEdge[] {
  const byTarget = new Map<DrawnEdge["to"], GraphEdge[]>()
  for (const edge of node.edges) {
    const to = targetOf(edge)
    const same = byTarget.get(to)
    if (same) same.push(edge)
    else byTarget.set(to, [edge])
  }
  // One long way is described by what the others are not.
  const longest = Math.max(...[...byTarget.values()].map(({ length }) => length))
  const [rest] = [...byTarget.values()].filter(({ length }) => length === longest && length > 6)
  const ways = [...byTarget].map(([to, all]): DrawnEdge => {
    return {
      label:
        all === rest ? words.say(m.otherOutcomes, { n: longest }) : outcomesText(graph, node, all, words),
      chance: all.reduce((sum, { chance }) => sum + chance, 0),
      to,
      rulesOut: common(all.map(({ rulesOut }) => rulesOut)),
      because: common(all.map(({ because }) => because)),
    }
  })
  return ways.sort((a, b) => Number(a.to === undefined) - Number(b.to === undefined) || b.chance - a.chance)
}

/** What all of these lists have, in the order of the first. */
function common<T>([first = [], ...others]: readonly (readonly T[])[]): T[] {
  return first.filter((each) => others.every((list) => list.includes(each)))
}

/** By node, the chance that a job gets to it. The runner has checked that there is no cycle. */
export function reachOf(graph: Graph): Table<NodeIndex, number> {
  const edges = graph.nodes.map((node) =>
    isStep(node) ? node.edges.flatMap(({ to, chance }) => (to === undefined ? [] : [{ to, chance }])) : [],
  )
  const into = graph.nodes.map(() => 0)
  for (const { to } of edges.flat()) addTo(into, to, 1)
  const reach = graph.nodes.map((_, n) => Number(n === graph.start))
  const free = [...into.keys()].filter((n) => into[n] === 0)
  for (const n of free)
    for (const { to, chance } of at(edges, n)) {
      addTo(reach, to, at(reach, n) * chance)
      if (addTo(into, to, -1) === 0) free.push(to)
    }
  return reach
}
