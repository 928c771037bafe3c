import { effectOf, jobAfter } from "./action.ts"
import type { Job } from "./belief.ts"
import { costOf, type Estimate, givenUp, NONE, plus } from "./estimate.ts"
import type { GraphNode, GraphStep } from "./graph.ts"
import type { Machine } from "./machine.ts"
import { actionAt } from "./position.ts"

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
    let value = costOf(m, there, action)
    for (const { on, chance, to } of at.edges)
      if (to !== undefined)
        value = plus(value, from(m.nodes[to]!, jobAfter(m, there, action, effect, on)), chance)
    const rest = at.costToGo - value.cost
    const look = at.do === "close" || m.bench === 0 ? 0 : (Math.max(0, rest) * 60) / m.bench
    return { ...value, cost: at.costToGo, minutes: value.minutes + look }
  }
  return from(node, job)
}
