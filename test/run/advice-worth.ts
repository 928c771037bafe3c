import { advise, costOf } from "../../compiler/run/advise.ts"
import { type Belief, isActive, startBelief } from "../../compiler/run/belief.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { machineOf } from "../../compiler/run/machine.ts"
import { outcomes } from "../../compiler/run/outcomes.ts"

/** Expected total of a job in which every step is advised from the model, over all outcomes; and the number of advices. */
export function worthOfAdvice(graph: Graph, mostAdvices = 3000): { total: number; advices: number } {
  const m = machineOf(graph)
  let advices = 0
  const from = (belief: Belief): number => {
    const { job, hypotheses } = belief
    if (job.ended)
      return m.comeback * hypotheses.reduce((sum, h) => sum + (isActive(m, h, job) ? h.weight : 0), 0)
    if (++advices > mostAdvices) throw new RangeError("more advices than expected")
    const { action } = advise(m, belief, new Set())
    if (!action) return m.handover
    const all = outcomes(m, belief, action)
    return all.reduce(
      (sum, each) => sum + each.chance * from(each.belief),
      costOf(m, belief, action, all).cost,
    )
  }
  const total = from(startBelief(m))
  return { total, advices }
}
