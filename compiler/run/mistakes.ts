import { effectOf, jobAfter } from "./action.ts"
import { whyImpossible } from "./acts.ts"
import { startBelief } from "./belief.ts"
import { actionIn, type Course, courseOf, present } from "./course.ts"
import type { Machine } from "./machine.ts"
import type { Entry, HandoverStep, Out, Suspect, Why } from "./session-types.ts"
import { suspectsOf } from "./suspects.ts"

/**
 * The steps of a log that are left when some are taken back: without what can't have been done then, as putting back a
 * part that was never fitted.
 */
export function stepsLeft(m: Machine, log: readonly Entry[], ignored: ReadonlySet<number>): number[] {
  let { job } = startBelief(m, -1)
  return log.flatMap((entry, step) => {
    if (ignored.has(step)) return []
    if (!("act" in entry)) return [step]
    const action = actionIn(m, entry)
    if (whyImpossible(m, job, action)) return []
    job = jobAfter(m, job, action, effectOf(m, job, action), entry.found)
    return [step]
  })
}

/** What ruled a fault out, one elimination after the other, and which steps would bring it back if they were wrong. */
export function whyOut(m: Machine, log: readonly Entry[], suspect: Suspect): Why {
  const { fault } = suspect
  if (fault === undefined || suspect.out === undefined) return { suspect, out: [], back: [] }
  const lostWithout = (ignored: ReadonlySet<number>): Out | undefined => {
    const steps = stepsLeft(m, log, ignored)
    const { belief, out } = courseOf(
      m,
      steps.map((step) => log[step]!),
      fault,
    )
    const lost = belief.hypotheses.length > 0 ? undefined : out.get(fault)
    return lost && { ...lost, step: steps[lost.step]! }
  }
  const ignored = new Set<number>()
  const out: Out[] = []
  for (let lost = lostWithout(ignored); lost; lost = lostWithout(ignored)) {
    out.push(lost)
    ignored.add(lost.step)
  }
  const back = log.flatMap((_, step) => (lostWithout(new Set([step])) ? [] : [step]))
  return { suspect, out, back }
}

/** Where no state fits: each finding without which some would. */
export function stepsAtOdds(m: Machine, log: readonly Entry[], course: Course): HandoverStep["atOdds"] {
  const suspects = suspectsOf(m, course)
  return log.flatMap((entry, step) => {
    if (!("act" in entry)) return []
    const left = stepsLeft(m, log, new Set([step])).map((each) => log[each]!)
    const { belief } = courseOf(m, left)
    if (belief.hypotheses.length === 0) return []
    const fits = present(m, belief)
    return [{ step, faults: suspects.filter(({ fault }) => fault !== undefined && fits[fault]! > 0) }]
  })
}
