import { activeAt, activeNow, type Hypothesis, isUnlisted, type Job, lastTaken, truthOf } from "./belief.ts"
import { type CellOf, holds } from "./condition.ts"
import type { RuleIndex } from "./indexes.ts"
import type { Law, Machine } from "./machine.ts"

/** What rules and nevers leave of a hypothesis. */
export interface Left {
  /** From 0 to 1. */
  readonly share: number
  readonly acted: readonly RuleIndex[]
}

/**
 * The laws that are known true by the last findings, whether they still stand or not: no other can be true by those that
 * stand, which are fewer. `laws`: those to look at.
 */
export function knownLaws(job: Job, laws: readonly Law[]): Law[] {
  return laws.filter(({ when }) => truthOf(job, when))
}

/** What these laws leave of a hypothesis after an action. */
export function leftBy(m: Machine, job: Job, h: Hypothesis, laws: readonly Law[]): Left {
  let { acted } = h
  let share = 1
  for (const law of laws) {
    if (law.rule !== undefined && acted.includes(law.rule)) continue
    if (!strikes(m, job, h, law)) continue
    share *= 1 - law.chance
    if (law.rule !== undefined && law.chance > 0) acted = [...acted, law.rule]
    if (share === 0) break
  }
  return { share, acted }
}

/** Whether a law takes something from a hypothesis now. */
export function strikes(m: Machine, job: Job, h: Hypothesis, law: Law): boolean {
  const active = activeNow(m, h, job)
  const counted = law.told ? (h.a >= 0 ? 1 : 0) | (h.b >= 0 ? 2 : 0) : active
  if (law.rule !== undefined) {
    if (counted === 0 && !isUnlisted(h)) return false
    const named = (counted & 1 && law.of.has(h.a)) || (counted & 2 && law.of.has(h.b))
    if (Boolean(named) === law.leavesOnly) return false
  }
  return holds(law.when, standing(m, job, h, active)) === true
}

/** The findings that still stand: told, or taken with exactly the faults active that are active now. */
function standing(m: Machine, job: Job, h: Hypothesis, active: number): CellOf {
  return (reading) => {
    const last = lastTaken(job, reading)
    if (last === undefined) return undefined
    const stands = m.readings[reading]!.told || activeAt(m, h, last.time, last.fitted) === active
    return stands ? last.cell : undefined
  }
}
