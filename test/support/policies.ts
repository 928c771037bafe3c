import type { Model } from "../../compiler/model/model.ts"
import type { Expected, Plan, Remedy } from "../../compiler/plan/plan.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import type { Action, Found, State } from "./reference.ts"
import { actions, outcomes, start, stepCost, verdicts } from "./reference.ts"

/**
 * Least expected total over all policies, by trying every action in every state: no bound, no order, no memory. Only
 * for models with a handful of tests. `limit` guards a test run against a model that is too large.
 */
export function bestTotal(model: Model, state: State = start(model), limit = { states: 3_000_000 }): number {
  if (--limit.states < 0) throw new Error("too large a model for trying every policy")
  let best = model.ruleset.handover
  for (const verdict of verdicts(model, state)) if (verdict.allowed) best = Math.min(best, verdict.loss)
  for (const action of actions(model, state)) {
    const found = outcomes(model, state, action)
    if (found.length === 0) continue
    let sum = stepCost(model, action)
    for (const each of found) sum += each.chance * bestTotal(model, each.state, limit)
    best = Math.min(best, sum)
  }
  return best
}

/** A policy with the clothes off: what a plan and a graph have in common. */
export type PolicyNode =
  | { do: "test"; action: Action; edges: readonly PolicyEdge[] }
  | { do: "verdict"; remedy: Remedy }
  | { do: "handover" }
  | { do: "advise" }

export interface PolicyEdge {
  readonly found: Found
  /** Held against the reference where it is said. */
  readonly chance?: number
  readonly to: number
}

export interface Policy {
  readonly start: number
  readonly nodes: readonly PolicyNode[]
}

export function policyOfPlan(plan: Plan): Policy {
  return {
    start: plan.start,
    nodes: plan.nodes.map((node) =>
      node.do === "test"
        ? {
            do: "test",
            action: { test: node.test, putBack: node.putBack },
            edges: node.edges.map(({ outcome, chance, to }) => ({ found: outcome, chance, to })),
          }
        : node,
    ),
  }
}

export function policyOfGraph(graph: Graph): Policy {
  return {
    start: graph.start,
    nodes: graph.nodes.map((node) =>
      node.do === "test"
        ? {
            do: "test",
            action: { test: node.test, putBack: node.putBack ?? false },
            edges: node.edges.map(({ cells, chance, to }) => ({ found: cells, chance, to })),
          }
        : node,
    ),
  }
}

/**
 * Walks every path of a policy through the reference and adds up what it meets; `visit` sees each node with the state
 * in which the reference stands there and the chance to come this way. Throws where the policy does what may not be
 * done, gives a verdict that `trust` forbids, or has no edge for what can happen.
 */
export function evaluate(
  model: Model,
  policy: Policy,
  visit: (node: number, state: State, reach: number) => void = () => {},
): Expected {
  const sum = { total: 0, tests: 0, minutes: 0, steps: 0, wrong: 0, handover: 0 }

  function walk(index: number, state: State, reach: number): void {
    const node = policy.nodes[index]
    if (!node) throw new Error(`node ${index} does not exist`)
    visit(index, state, reach)
    if (node.do === "advise") throw new Error(`node ${index} is left to the runner`)
    if (node.do === "handover") {
      sum.handover += reach
      sum.total += reach * model.ruleset.handover
      return
    }
    if (node.do === "verdict") {
      const verdict = verdicts(model, state).find((each) => sameRemedy(each.remedy, node.remedy))
      if (!verdict?.allowed) throw new Error(`node ${index} gives a verdict that may not be given`)
      sum.wrong += reach * (1 - verdict.chance)
      sum.total += reach * verdict.loss
      return
    }
    const { action, edges } = node
    const may = actions(model, state).some(
      (each) => each.test === action.test && each.putBack === action.putBack,
    )
    if (!may) throw new Error(`node ${index} does what may not be done`)
    const cost = stepCost(model, action)
    sum.steps += reach
    sum.minutes += reach * model.tests[action.test]!.minutes
    sum.tests += reach * cost
    sum.total += reach * cost
    for (const outcome of outcomes(model, state, action)) {
      const edge = edges.find((each) => sameFound(each.found, outcome.found))
      if (!edge) throw new Error(`node ${index} has no edge for ${outcome.found}`)
      if (edge.chance !== undefined && Math.abs(edge.chance - outcome.chance) > 1e-9) {
        throw new Error(`node ${index}: ${outcome.found} has chance ${outcome.chance}, not ${edge.chance}`)
      }
      walk(edge.to, outcome.state, reach * outcome.chance)
    }
  }

  walk(policy.start, start(model), 1)
  return sum
}

export function sameRemedy(a: Remedy, b: Remedy): boolean {
  return a.kind === b.kind && (a.kind === "done" || a.place === b.place)
}

export function sameFound(a: Found, b: Found): boolean {
  if (typeof a === "string" || typeof b === "string") return a === b
  return a.length === b.length && a.every((cell, i) => cell === b[i])
}
