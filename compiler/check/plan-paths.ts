import type { Model } from "../model/model.ts"
import type { Action, Plan, PlanEdge, PlanNode, PlanStep } from "../plan/plan.ts"
import { type NodeIndex, type PlaceIndex, type Table, type TestIndex, tableOf } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { backticked, listed } from "../wording/sentence.ts"
import { findingText } from "./condition-text.ts"

/** How a job gets to a node of the plan, on the path that most of those take which get there. */
export interface PathToNode {
  readonly steps: readonly { readonly node: NodeIndex; readonly edge: PlanEdge }[]
  /** Tests that were done and are not open again: a repair opens all of them, told questions apart. */
  readonly done: ReadonlySet<TestIndex>
  /** Repairs made, as `repairKey` names them. */
  readonly repairs: ReadonlySet<string>
}

export type StepNode = Extract<PlanNode, PlanStep>

export function isStep(node: PlanNode): node is StepNode {
  return node.do !== "handover" && node.do !== "advise"
}

/** The edge by which most jobs come to a node. */
interface Entrance {
  readonly chance: number
  readonly from: NodeIndex
  readonly edge: PlanEdge
}

/** By node: how it is reached. A plan has no cycles, so nodes are settled before those that follow them. */
export function likeliestPaths(model: Model, plan: Plan): Table<NodeIndex, PathToNode> {
  const best = plan.nodes.map((): Entrance | undefined => undefined)
  const chance = plan.nodes.map((_, i): number => (i === plan.start ? 1 : 0))
  const found: PathToNode[] = []
  for (const node of topologicalOrder(plan)) {
    const before = best[node]
    if (before === undefined) found[node] = { steps: [], done: new Set(), repairs: new Set() }
    else {
      chance[node] = before.chance
      found[node] = extended(model, plan, at(found, before.from), before.from, before.edge)
    }
    for (const edge of edgesOf(at(plan.nodes, node))) {
      if (edge.to === undefined) continue
      const through = at(chance, node) * edge.chance
      if (through > (best[edge.to]?.chance ?? -1)) best[edge.to] = { chance: through, from: node, edge }
    }
  }
  return tableOf(found)
}

export function edgesOf(node: PlanNode): readonly PlanEdge[] {
  return isStep(node) ? node.edges : []
}

function extended(model: Model, plan: Plan, before: PathToNode, node: NodeIndex, edge: PlanEdge): PathToNode {
  const steps = [...before.steps, { node, edge }]
  const action = plan.nodes[node] as StepNode
  const repair = repairKey(action)
  if (repair !== undefined) {
    const told = [...before.done].filter((test) => at(model.tests, test).kind === "told")
    return { steps, done: new Set(told), repairs: new Set(before.repairs).add(repair) }
  }
  const done = action.do === "test" ? new Set(before.done).add(action.test) : before.done
  return { steps, done, repairs: before.repairs }
}

/** A name for a repair, each of which can be made once in a job; undefined for any other action. */
export function repairKey(action: Action | PlanNode): string | undefined {
  if (action.do === "keep" || action.do === "replace") return `${action.do} ${action.part}`
  return action.do === "fix" ? `fix ${action.fault}` : undefined
}

/** Nodes that can be reached, each after all that lead to it. */
export function topologicalOrder(plan: Plan): NodeIndex[] {
  const done = new Set<NodeIndex>()
  const order: NodeIndex[] = []
  const stack: [node: NodeIndex, left: boolean][] = [[plan.start, false]]
  for (let next = stack.pop(); next; next = stack.pop()) {
    const [node, left] = next
    if (left) order.push(node)
    else if (!done.has(node)) {
      done.add(node)
      stack.push([node, true])
      for (const { to } of edgesOf(at(plan.nodes, node))) if (to !== undefined) stack.push([to, false])
    }
  }
  return order.reverse()
}

/** What was done and found on the way: "`look_glow`: `glow` yes, then `try_panel`: stays". */
export function pathText(model: Model, plan: Plan, { steps }: PathToNode): string {
  const parts = steps.map(({ node, edge: { on } }) => {
    const action = plan.nodes[node] as StepNode
    if (typeof on === "string")
      return on === "done" ? actionText(model, action) : `${actionText(model, action)}: ${on}`
    const reads = action.do === "test" ? at(model.tests, action.test).reads : []
    return listed(on.map((cell, i) => findingText(model, at(reads, i), cell)))
  })
  return parts.length === 0 ? "nothing found yet" : parts.join(", then ")
}

function actionText(model: Model, action: StepNode): string {
  const part = (index: PlaceIndex) => backticked(at(model.places, index).name)
  switch (action.do) {
    case "test":
      return backticked(at(model.tests, action.test).name)
    case "takeOut":
      return `${part(action.part)} taken out again`
    case "putBack":
      return `${part(action.part)} put back`
    case "keep":
      return `${part(action.part)} bought`
    case "replace":
      return `${part(action.part)} replaced`
    case "fix":
      return `${backticked(at(model.faults, action.fault).name)} fixed`
    case "look":
      return "looked again"
    case "close":
      return "the proof run"
  }
}

/** Added to a message that depends on how good the plan is. */
export function unprovedNote(plan: Plan): string {
  return plan.exact ? "" : " (The plan was not proved best within its limit, so the best one may differ.)"
}

/**
 * The first nodes on each path that commit to something: a repair, closing, handing over, or a branch that was not
 * planned. With the chance to come there from `from`, whose own chance is 1.
 */
export function firstCommitments(plan: Plan, from: NodeIndex): ReadonlyMap<NodeIndex, number> {
  const mass = new Map<NodeIndex, number>([[from, 1]])
  const found = new Map<NodeIndex, number>()
  for (const node of topologicalOrder({ ...plan, start: from })) {
    const chance = mass.get(node)
    if (chance === undefined) continue
    const here = at(plan.nodes, node)
    if (repairKey(here) !== undefined || here.do === "close" || !isStep(here)) {
      found.set(node, chance)
      continue
    }
    for (const { to, chance: share } of here.edges)
      if (to !== undefined) mass.set(to, (mass.get(to) ?? 0) + chance * share)
  }
  return found
}
