import type { Model } from "../model/model.ts"
import type { Belief, Plan, PlanNode } from "../plan/plan.ts"
import type { Candidate, GraphNode } from "../run/graph.ts"
import { derived } from "./text.ts"

/** Candidates with less chance than this are left out of a node; the runner has them all from the model. */
const LEAST_CHANCE = 1e-4

/**
 * The nodes of a plan as the graph lists them. Nodes that came out the same are written once, children first, so that
 * whole branches which differ in nothing that a technician sees become one. The start is 0.
 */
export function writeNodes(model: Model, plan: Plan): GraphNode[] {
  const byContent = new Map<string, number>()
  const merged: GraphNode[] = []
  const place = new Map<number, number>()
  const visit = (index: number): number => {
    const known = place.get(index)
    if (known !== undefined) return known
    const node = writeNode(model, plan.nodes[index]!, visit)
    const content = JSON.stringify(node)
    let at = byContent.get(content)
    if (at === undefined) {
      at = merged.push(node) - 1
      byContent.set(content, at)
    }
    place.set(index, at)
    return at
  }
  return fromTheStart(merged, visit(plan.start))
}

function writeNode(model: Model, node: PlanNode, visit: (index: number) => number): GraphNode {
  switch (node.do) {
    case "test": {
      const edges = node.edges.map((e) => ({
        cells: e.outcome,
        chance: derived(e.chance),
        to: visit(e.to),
        rulesOut: e.rulesOut,
        because: e.because,
      }))
      const putBack = node.putBack ? { putBack: true as const } : {}
      return { do: "test", test: node.test, ...putBack, cost: model.tests[node.test]!.cost, edges }
    }
    case "verdict": {
      const candidates = writeCandidates(node.belief)
      return {
        do: "verdict",
        remedy: node.remedy,
        chance: derived(node.chance),
        candidates,
        proofs: proofsFor(model, node.remedy.place, candidates),
      }
    }
    case "handover":
      return { do: "handover", candidates: writeCandidates(node.belief) }
    case "advise":
      return { do: "advise" }
  }
}

/** Likeliest first. */
function writeCandidates({ uncured, cured }: Belief): Candidate[] {
  const candidates: Candidate[] = []
  uncured.forEach((chance, fault) => {
    if (chance >= LEAST_CHANCE) candidates.push({ fault, chance: derived(chance) })
  })
  cured.forEach((chance, fault) => {
    if (chance >= LEAST_CHANCE) candidates.push({ fault, cured: true, chance: derived(chance) })
  })
  return candidates.sort((a, b) => b.chance - a.chance || a.fault - b.fault)
}

/** Proof runs for every verdict, and those for the place at hand; after a cure, for every place that may have been it. */
function proofsFor(model: Model, place: number | undefined, candidates: readonly Candidate[]): number[] {
  const places = new Set(place === undefined ? candidates.map((c) => model.faults[c.fault]!.place) : [place])
  return model.proofs.flatMap((proof, i) =>
    proof.places.length === 0 || proof.places.some((p) => places.has(p)) ? [i] : [],
  )
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
    const node = nodes[at]!
    if (node.do === "test") for (let e = node.edges.length - 1; e >= 0; e--) stack.push(node.edges[e]!.to)
  }
  return order.map((at) => {
    const node = nodes[at]!
    if (node.do !== "test") return node
    return { ...node, edges: node.edges.map((e) => ({ ...e, to: number.get(e.to)! })) }
  })
}
