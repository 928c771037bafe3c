import type { Model, Rule } from "../../../compiler/model/model.ts"
import { activeFaults, type Hypothesis, isUnlisted, known, readingsOf, type State } from "./beliefs.ts"

export interface Judged {
  /** What rules leave of the hypothesis, and what nevers leave of that. */
  readonly spared: number
  readonly left: number
  readonly struckBy: readonly number[]
}

/** Rules and nevers after an action, by the findings that still stand in this hypothesis. */
export function judge(model: Model, state: State, hypothesis: Hypothesis): Judged {
  const standing = standingFindings(model, state, hypothesis)
  let spared = 1
  const struckBy = [...hypothesis.struckBy]
  for (const [index, rule] of model.rules.entries()) {
    if (hypothesis.struckBy.includes(index) || known(rule.condition, standing) !== true) continue
    if (!actsOn(model, state, rule, hypothesis) || rule.chance === 0) continue
    spared *= 1 - rule.chance
    struckBy.push(index)
  }
  const forbidden = model.nevers.some((never) => known(never.condition, standing) === true)
  return { spared, left: forbidden ? 0 : spared, struckBy: struckBy.sort((a, b) => a - b) }
}

/** A finding stands if it was told, or if the same faults are active as when it was last taken. */
function standingFindings(model: Model, state: State, hypothesis: Hypothesis): Map<number, number> {
  const active = `${activeFaults(model, hypothesis, state.fitted)}`
  const standing = new Map<number, number>()
  for (const [reading, cell] of state.findings) {
    const last = hypothesis.takings.findLast((taking) => taking.reading === reading)!
    if (model.readings[reading]!.told || `${last.active}` === active) standing.set(reading, cell)
  }
  return standing
}

function actsOn(model: Model, state: State, rule: Rule, hypothesis: Hypothesis): boolean {
  const told = readingsOf(rule.condition).every((reading) => model.readings[reading]!.told)
  const active = told ? hypothesis.faults : activeFaults(model, hypothesis, state.fitted)
  if (active.length === 0 && !isUnlisted(hypothesis)) return false
  const named = rule.of.some((fault) => active.includes(fault))
  return rule.verb === "rule out" ? named : !named
}
