import type { Condition } from "../model/model.ts"
import { type Problem, readingsIn } from "./problem.ts"
import { ACTIVE, CURED } from "./separation.ts"
import type { State } from "./state.ts"

/** Said of what has come out already, and cannot come out any more: what it rules out is out. */
const SETTLED = 2

/**
 * A ruleset may rule out a fault that is there: its weight is gone then, and with it all that its path would still have
 * cost. On a path on which a fault lives, each step leaves it some chance to live; this bounds the product of these
 * chances from below, whatever is done and in whatever order, as long as the fault stays as it is (separation.ts).
 */
export function makeSurvival(problem: Problem): (state: State) => (f: number, kind: number) => number {
  const { model, faults } = problem
  const conditions = [...problem.rules.map((rule) => rule.condition), ...problem.nevers]
  const nevers = problem.nevers.map((_, i) => problem.rules.length + i)
  const against = model.faults.map((_, f) => [
    ...problem.rules.flatMap((rule, i) => (rule.isOut[f] ? [i] : [])),
    ...nevers,
  ])
  const readers = model.readings.map((_, r) =>
    model.tests.flatMap((test, t) => (test.reads.includes(r) ? [t] : [])),
  )
  const helpers = conditions.map((condition) => [
    ...new Set([...readingsIn(condition)].flatMap((r) => readers[r]!)),
  ])
  /** `[condition × faults + f]`: whether f shows on a reading that the condition speaks of. */
  const showsOn = new Uint8Array(conditions.length * faults)
  conditions.forEach((condition, i) => {
    for (const r of readingsIn(condition)) {
      model.faults.forEach((fault, f) => {
        if (fault.chances[r]) showsOn[i * faults + f] = 1
      })
    }
  })
  let evidence: ArrayLike<number> = []
  let used: ArrayLike<number> = []
  /** By condition, in the state at hand: the chance that it comes true with a fault that shows nothing on it. */
  const usual = new Float64Array(conditions.length)
  const isOpen = new Uint8Array(conditions.length)

  const chanceIn = (chances: ArrayLike<number>, cells: ArrayLike<unknown>, wanted: boolean) => {
    let sum = 0
    for (let i = 0; i < chances.length; i++) if (!!cells[i] === wanted) sum += chances[i]!
    return sum
  }

  /**
   * Sum over the steps of a path, at most, of the chances that a condition comes out as wanted there. Of several that
   * are wanted together, the last one to come out decides.
   */
  const chanceOf = (c: Condition, f: number, kind: number, wanted: boolean): number => {
    if (c.kind === "not") return chanceOf(c.item, f, kind, !wanted)
    if (c.kind === "in") {
      // What several tests read may come out otherwise the next time.
      const isFirm = readers[c.reading]!.every((t) => used[t])
      const cell = evidence[c.reading]!
      if (isFirm) return cell >= 0 && c.cells[cell] === wanted ? SETTLED : 0
      if (readers[c.reading]!.length > 1) return 1
      const { healthy, told } = model.readings[c.reading]!
      const own = (f >= 0 && model.faults[f]!.chances[c.reading]) || healthy
      const off = told ? own : healthy
      const active = kind === CURED ? 0 : chanceIn(own, c.cells, wanted)
      return kind === ACTIVE ? active : Math.max(active, chanceIn(off, c.cells, wanted))
    }
    const every = (c.kind === "and") === wanted
    let value = 0
    let settled = 0
    for (const item of c.items) {
      const chance = chanceOf(item, f, kind, wanted)
      if (every && chance === 0) return 0
      if (chance === SETTLED) settled++
      else value = every ? Math.max(value, chance) : Math.min(1, value + chance)
    }
    return settled > 0 && (!every || settled === c.items.length) ? SETTLED : value
  }

  return (state) => {
    evidence = state.evidence
    used = state.used
    for (let i = 0; i < conditions.length; i++) {
      isOpen[i] = helpers[i]!.some((t) => !used[t]) ? 1 : 0
      if (isOpen[i]) usual[i] = chanceOf(conditions[i]!, -1, ACTIVE, true)
    }
    return (f, kind) => {
      let lost = 0
      for (const i of against[f]!) {
        if (!isOpen[i]) continue
        const chance = showsOn[i * faults + f] ? chanceOf(conditions[i]!, f, kind, true) : usual[i]!
        if (chance !== SETTLED) lost += chance
        if (lost >= 1) return 0
      }
      return 1 - lost
    }
  }
}
