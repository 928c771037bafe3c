import type { Context } from "../context.ts"
import { widened } from "../edits.ts"
import { type Findings, type Formula, holds, normal, readingsOf } from "../logic/formula.ts"
import { fewestFindings } from "../logic/witnesses.ts"

export interface Gap {
  /** Under these conditions no rule can act, whatever else is found: as few readings as can be, each over a whole range. */
  readonly condition: Formula
  readonly findings: Findings
  readonly smallest: boolean
}

/** More gaps than this are not looked for in one run. */
const MOST_GAPS = 10

/** Findings that can occur and make every rule false, though each of their readings is spoken of by some rule. */
export function gapsInRules(context: Context): Gap[] {
  const { model, space, possible, effort } = context
  if (!possible || model.rules.length === 0) return []
  const idle = model.rules.map(({ condition }) => normal(condition, false))
  const readings = readingsOf(...idle)
  const nodes = idle.map((formula) => space.holds(formula))
  const settles = (findings: Findings) => idle.every((formula) => holds(formula, findings))
  const barred: number[] = []
  const ask = (further: readonly number[], budget?: number) =>
    space.ask([...nodes, ...barred, ...further], readings, budget)
  const gaps: Gap[] = []
  while (gaps.length < MOST_GAPS) {
    const witness = fewestFindings(space, ask, readings, settles, effort)
    if (witness === undefined) break
    const condition: Formula = { kind: "and", items: widened(model, witness.findings, settles) }
    gaps.push({ condition, ...witness })
    barred.push(space.fails(condition))
  }
  return gaps
}
