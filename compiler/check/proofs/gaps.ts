import { at } from "../../run/lookup.ts"
import type { Context } from "../context.ts"
import { widened } from "../edits.ts"
import { type Findings, type Formula, holds, negated, readingsOf, union } from "../logic/formula.ts"
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
  const idle = context.once(noneActs)
  const readings = readingsOf(idle)
  const settles = (findings: Findings) => holds(idle, findings)
  const nodes = [space.holds(idle)]
  const ask = (further: readonly number[], budget?: number) =>
    space.ask([...nodes, ...further], readings, budget)
  const gaps: Gap[] = []
  while (gaps.length < MOST_GAPS) {
    const witness = fewestFindings(space, ask, readings, settles, effort)
    if (witness === undefined) break
    const condition: Formula = { kind: "and", items: widened(model, witness.findings, settles) }
    gaps.push({ condition, ...witness })
    nodes.push(space.fails(condition))
  }
  return gaps
}

/** Known true if all rules are known not to act. */
export function noneActs({ model, eliminations }: Context): Formula {
  const rules = model.rules.map((_, rule) => at(eliminations, rule).formula)
  return negated(union(rules))
}
