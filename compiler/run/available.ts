import { actionKey, countingProofs, freshKey, type StepAction } from "./action.ts"
import { type Belief, isActive, type Job, truthOf } from "./belief.ts"
import type { GraphGate } from "./graph.ts"
import type { TestIndex } from "./indexes.ts"
import { holdChance, runOf } from "./likelihood.ts"
import type { Machine } from "./machine.ts"
import { testOf, workOf } from "./work.ts"

/** Room for rounding where a chance is held against `trust`. */
export const ROUNDING = 1e-9

/** All that may be done now besides handing over: tests, parts, faults in their order, looking again, closing. */
export function availableActions(m: Machine, belief: Belief): StepAction[] {
  const { job } = belief
  if (job.ended) return []
  const actions: StepAction[] = []
  m.tests.forEach((_, test) => {
    if (mayTest(m, job, test)) actions.push({ do: "test", test })
  })
  m.places.forEach(({ kind }, part) => {
    if (kind !== "part") return
    if (job.leftIn.has(part)) actions.push({ do: "takeOut", part })
    if (job.fitted.has(part)) actions.push({ do: "putBack", part }, { do: "keep", part })
    else actions.push({ do: "replace", part })
  })
  m.faults.forEach(({ place }, fault) => {
    if (m.model.fix[fault] && !job.fitted.has(place)) actions.push({ do: "fix", fault })
  })
  if (job.mayLook) actions.push({ do: "look" })
  if (mayClose(m, belief)) actions.push({ do: "close" })
  return actions.filter(
    (action) =>
      !job.repairs.has(actionKey(action)) && isReady(job, workOf(m.model, action) ?? testOf(m.tests, action)),
  )
}

function mayTest(m: Machine, job: Job, test: TestIndex): boolean {
  const { kind, parts } = m.tests[test]!
  return (
    !(kind === "told" ? job.done.has(test) : job.fresh.has(freshKey(m, job, test))) &&
    !parts.some((part) => job.fitted.has(part))
  )
}

/** Whether all that must be done or known before an action is. */
function isReady(job: Job, { after = [], afterAny = [], onlyIf }: GraphGate = {}): boolean {
  return (
    after.every((each) => job.done.has(each)) &&
    (afterAny.length === 0 || afterAny.some((each) => job.done.has(each))) &&
    truthOf(job, onlyIf) === true
  )
}

/**
 * Whether the proof run is open: no known-good part in, the last look `gone` and nothing changed since; and if it holds,
 * which must have a chance, nothing is active with the ruleset's trust.
 */
export function mayClose(m: Machine, { job, hypotheses }: Belief): boolean {
  if (job.fitted.size > 0 || !job.gone || job.changed) return false
  const run = runOf(m, countingProofs(m, job))
  let all = 0
  let whole = 0
  for (const h of hypotheses) {
    const weight = h.weight * holdChance(m, job, h, run)
    all += weight
    if (!isActive(m, h, job)) whole += weight
  }
  return all > 0 && whole / all >= m.trust - ROUNDING
}
