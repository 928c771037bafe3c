import type { Belief, Plan, PlanEdge, PlanNode, PlanStep } from "../plan/plan.ts"
import type { Candidate, GraphAction, GraphEdge, GraphNode, GraphStep } from "../run/graph.ts"
import { derived } from "./text.ts"

/** Candidates with less chance than this are left out of a node; the runner has them all from the model. */
const LEAST_CHANCE = 1e-4

/**
 * The nodes of a plan as the graph lists them. Nodes that came out the same are written once, children first, so that
 * whole branches which differ in nothing that a technician sees become one. The start is 0.
 */
export function writeNodes(plan: Plan): GraphNode[] {
  const byContent = new Map<string, number>()
  const merged: GraphNode[] = []
  const written = new Map<number, number>()
  const visit = (index: number): number => {
    const known = written.get(index)
    if (known !== undefined) return known
    const node = writeNode(plan.nodes[index]!, visit)
    const content = JSON.stringify(node)
    let at = byContent.get(content)
    if (at === undefined) {
      at = merged.push(node) - 1
      byContent.set(content, at)
    }
    written.set(index, at)
    return at
  }
  return fromTheStart(merged, visit(plan.start))
}

function writeNode(node: PlanNode, visit: (index: number) => number): GraphNode {
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

function writeEdge(edge: PlanEdge, visit: (index: number) => number): GraphEdge {
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
  const candidates: Candidate[] = []
  present.forEach((chance, fault) => {
    if (chance >= LEAST_CHANCE)
      candidates.push({ fault, present: derived(chance), active: derived(active[fault]!) })
  })
  candidates.sort((a, b) => b.present - a.present || a.fault! - b.fault!)
  if (unlisted >= LEAST_CHANCE) candidates.push({ present: derived(unlisted), active: derived(unlisted) })
  return candidates
}

/** Renumbers in the order in which a reader comes to the nodes: the start first, each edge's target in turn. */
function fromTheStart(nodes: readonly GraphNode[], start: number): GraphNode[] {
  const order: number[] = []
  const number = new Map<number, number>()
  const stack = [start]
  while (stack.length > 0) {
    const at = stack.pop()!
    if (number.has(at)) continue
    number.set(at, order.push(at) - 1)
    for (const { to } of edgesOf(nodes[at]!).toReversed()) if (to !== undefined) stack.push(to)
  }
  const renumbered = (edge: GraphEdge) =>
    edge.to === undefined ? edge : { ...edge, to: number.get(edge.to)! }
  return order.map((at) => {
    const node = nodes[at]!
    return "edges" in node ? ({ ...node, edges: node.edges.map(renumbered) } as GraphStep) : node
  })
}

function edgesOf(node: GraphNode): readonly GraphEdge[] {
  return "edges" in node ? node.edges : []
}
