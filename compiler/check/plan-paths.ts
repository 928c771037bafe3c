import type { Model } from "../model/model.ts"
import type { Plan, PlanEdge, PlanNode } from "../plan/plan.ts"
import { backticked, listed } from "../wording/sentence.ts"
import { findingText } from "./condition-text.ts"

/** How a job gets to a node of the plan, on the way that most of those take which get there. */
export interface PathToNode {
  readonly steps: readonly { readonly node: number; readonly edge: PlanEdge }[]
  /** Tests done on the way; equal states agree on what matters of it. */
  readonly used: ReadonlySet<number>
  /** Parts that known-good ones stand in for. */
  readonly fitted: ReadonlySet<number>
}

type TestNode = Extract<PlanNode, { do: "test" }>

/** By node: how it is reached. A plan has no cycles, so nodes are settled before those that follow them. */
export function likeliestPaths(model: Model, plan: Plan): readonly PathToNode[] {
  const best: ({ chance: number; from: number; edge: PlanEdge } | undefined)[] = plan.nodes.map(
    () => undefined,
  )
  const chance: number[] = plan.nodes.map((_, i) => (i === plan.start ? 1 : 0))
  const found: PathToNode[] = []
  for (const node of topologicalOrder(plan)) {
    const before = best[node]
    if (before === undefined) found[node] = { steps: [], used: new Set(), fitted: new Set() }
    else {
      chance[node] = before.chance
      found[node] = follow(model, plan, found[before.from]!, before.from, before.edge)
    }
    const here = plan.nodes[node]!
    if (here.do !== "test") continue
    for (const edge of here.edges) {
      const through = chance[node]! * edge.chance
      if (through > (best[edge.to]?.chance ?? -1)) best[edge.to] = { chance: through, from: node, edge }
    }
  }
  return found
}

function follow(model: Model, plan: Plan, before: PathToNode, node: number, edge: PlanEdge): PathToNode {
  const { test, putBack } = plan.nodes[node] as TestNode
  const used = new Set(before.used).add(test)
  const fitted = new Set(before.fitted)
  const { part } = model.tests[test]!
  if (part !== undefined) {
    if (putBack) fitted.delete(part)
    else if (edge.outcome === "gone") fitted.add(part)
  }
  return { steps: [...before.steps, { node, edge }], used, fitted }
}

/** Nodes that can be reached, each after all that lead to it. */
export function topologicalOrder(plan: Plan): number[] {
  const done = new Set<number>()
  const order: number[] = []
  const stack: [node: number, left: boolean][] = [[plan.start, false]]
  while (stack.length > 0) {
    const [node, left] = stack.pop()!
    if (left) order.push(node)
    else if (!done.has(node)) {
      done.add(node)
      stack.push([node, true])
      const here = plan.nodes[node]!
      if (here.do === "test") for (const { to } of here.edges) stack.push([to, false])
    }
  }
  return order.reverse()
}

/** What was done and found on the way: "`look_glow`: `glow` yes, then `try_panel`: stays". */
export function pathText(model: Model, plan: Plan, { steps }: PathToNode): string {
  const parts = steps.map(({ node, edge }) => {
    const { test, putBack } = plan.nodes[node] as TestNode
    const { name, reads } = model.tests[test]!
    if (typeof edge.outcome === "string")
      return `${backticked(name)}${putBack ? " put back" : ""}: ${edge.outcome}`
    return listed(edge.outcome.map((cell, i) => findingText(model, reads[i]!, cell)))
  })
  return parts.length === 0 ? "nothing found yet" : parts.join(", then ")
}

/** Said behind a finding that depends on how good the plan is. */
export function unprovedNote(plan: Plan): string {
  return plan.exact ? "" : " (The plan was not proved best within its budget, so the best one may differ.)"
}

/** Where a plan ends: not at a test. */
export function endNodes(plan: Plan, from: number): number[] {
  const seen = new Set<number>()
  const ends: number[] = []
  const stack = [from]
  while (stack.length > 0) {
    const node = stack.pop()!
    if (seen.has(node)) continue
    seen.add(node)
    const here = plan.nodes[node]!
    if (here.do === "test") for (const { to } of here.edges) stack.push(to)
    else ends.push(node)
  }
  return ends
}
