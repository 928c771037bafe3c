import { effectOf, jobAfter, type StepAction } from "./action.ts"
import type { Job } from "./belief.ts"
import { type Estimate, givenUp, NONE, plus } from "./estimate.ts"
import type { GraphNode, GraphStep } from "./graph.ts"
import type { Machine } from "./machine.ts"
import { leavesIn } from "./position.ts"

/** The action of a node. */
export function actionAt(node: GraphStep): StepAction {
  const { cost: _, costToGo: __, edges: ___, ...action } = node
  return node.do === "test" ? ({ ...action, leaveIn: leavesIn(node) } as StepAction) : (action as StepAction)
}

/**
 * What the plan expects from a node to the end of the job. What its look takes is what the node's cost to go has beside
 * its own cost and those of the nodes that it leads to.
 */
export function plannedFrom(m: Machine, node: GraphNode, job: Job): Estimate {
  const known = new Map<string, Estimate>()
  const from = (at: GraphNode, there: Job): Estimate => {
    if (at.do === "handover") return givenUp(m)
    if (at.do === "advise") return { ...NONE, cost: at.costToGo }
    const key = `${m.nodes.indexOf(at)} ${[...there.fitted].join(" ")}`
    let value = known.get(key)
    if (!value) {
      value = fromStep(at, there)
      known.set(key, value)
    }
    return value
  }
  const fromStep = (at: GraphStep, there: Job): Estimate => {
    const action = actionAt(at)
    const effect = effectOf(m, there, action)
    const bought = at.do === "keep" || at.do === "replace" ? (m.places[at.part]!.price ?? 0) : 0
    let value: Estimate = { cost: at.cost, parts: bought, minutes: effect.minutes, handedOver: 0 }
    for (const { on, chance, to } of at.edges)
      if (to !== undefined)
        value = plus(value, from(m.nodes[to]!, jobAfter(m, there, action, effect, on)), chance)
    const rest = at.costToGo - value.cost
    const look = at.do === "close" || m.bench === 0 ? 0 : (Math.max(0, rest) * 60) / m.bench
    return { ...value, cost: at.costToGo, minutes: value.minutes + look }
  }
  return from(node, job)
}
