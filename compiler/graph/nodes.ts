import type { Belief, Plan, PlanEdge, PlanNode, PlanStep } from "../plan/plan.ts"
import type { Candidate, GraphAction, GraphEdge, GraphNode, GraphStep } from "../run/graph.ts"
import { type NodeIndex, type Table, tableOf } from "../run/indexes.ts"
import { at, lookUp } from "../run/lookup.ts"
import { derived } from "./text.ts"

/** Candidates with less chance than this are left out of a node; the runner has them all from the model. */
const LEAST_CHANCE = 1e-4

/**
 * The nodes of a plan as the graph lists them. Nodes that came out the same are written once, children first, so that
 * whole branches which differ in nothing that a technician sees become one. The start is 0.
 */
export function writeNodes(plan: Plan): Table<NodeIndex, GraphNode> {
  const byContent = new Map<string, NodeIndex>()
  const merged: GraphNode[] = []
  const written = new Map<NodeIndex, NodeIndex>()
  const visit = (index: NodeIndex): NodeIndex => {
    const known = written.get(index)
    if (known !== undefined) return known
    const node = writeNode(at(plan.nodes, index), visit)
    const content = JSON.stringify(node)
    const number = byContent.get(content) ?? ((merged.push(node) - 1) as NodeIndex)
    byContent.set(content, number)
    written.set(index, number)
    return number
  }
  const start = visit(plan.start)
  return fromTheStart(tableOf(merged), start)
}

function writeNode(node: PlanNode, visit: (index: NodeIndex) => NodeIndex): GraphNode {
  if (node.do === "handover") return { do: "handover", candidates: writeCandidates(node.belief) }
  const costToGo = derived(node.costToGo)
  if (node.do === "advise") return { do: "advise", costToGo }
  const edges = node.edges.map((edge) => writeEdge(edge, visit))
  return { ...writeAction(node), cost: derived(node.cost), costToGo, edges }
}

/** The action alone, without what else the plan's node holds. */
function writeAction(step: PlanStep): GraphAction {
  switch (step.do) {
    case "test":
      return { do: "test", test: step.test }
    case "fix":
      return { do: "fix", fault: step.fault }
    case "look":
      return { do: "look" }
    case "close":
      return { do: "close", proofs: step.proofs }
    default:
      return { do: step.do, part: step.part }
  }
}

function writeEdge(edge: PlanEdge, visit: (index: NodeIndex) => NodeIndex): GraphEdge {
  return {
    on: edge.on,
    chance: derived(edge.chance),
    ...(edge.to === undefined ? {} : { to: visit(edge.to) }),
    ...(edge.leaveIn ? { leaveIn: true as const } : {}),
    rulesOut: edge.rulesOut,
    because: edge.because,
  }
}

/** Likeliest first; something not listed is the one without a fault. */
function writeCandidates({ present, active, unlisted }: Belief): Candidate[] {
  const listed = present
    .flatMap((chance, fault) =>
      chance >= LEAST_CHANCE ? [{ fault, present: derived(chance), active: derived(at(active, fault)) }] : [],
    )
    .sort((a, b) => b.present - a.present || a.fault - b.fault)
  const other = { present: derived(unlisted), active: derived(unlisted) }
  return unlisted >= LEAST_CHANCE ? [...listed, other] : listed
}

/** Renumbers in the order in which a reader comes to the nodes: the start first, each edge's target in turn. */
function fromTheStart(nodes: Table<NodeIndex, GraphNode>, start: NodeIndex): Table<NodeIndex, GraphNode> {
  const number = new Map<NodeIndex, NodeIndex>()
  const stack = [start]
  for (let node = stack.pop(); node !== undefined; node = stack.pop()) {
    if (number.has(node)) continue
    number.set(node, number.size as NodeIndex)
    for (const { to } of edgesOf(at(nodes, node)).toReversed()) if (to !== undefined) stack.push(to)
  }
  const renumbered = (edge: GraphEdge) =>
    edge.to === undefined ? edge : { ...edge, to: lookUp(number, edge.to) }
  // A map keeps the order in which it was filled.
  return tableOf(
    [...number.keys()].map((old) => {
      const node = at(nodes, old)
      return "edges" in node ? ({ ...node, edges: node.edges.map(renumbered) } as GraphStep) : node
    }),
  )
}

function edgesOf(node: GraphNode): readonly GraphEdge[] {
  return "edges" in node ? node.edges : []
}
