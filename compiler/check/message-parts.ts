import type { Label } from "../diagnostics/diagnostic.ts"
import type { Model, Rule } from "../model/model.ts"
import type { FaultIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { backticked, listed } from "../wording/sentence.ts"
import { conditionText } from "./condition-text.ts"
import type { Elimination } from "./eliminations.ts"

/** The names of faults in a sentence; after `most` of them only how many more there are. */
export function faultNames(model: Model, faults: readonly FaultIndex[], most = 6): string {
  const names = faults.slice(0, most).map((fault) => backticked(at(model.faults, fault).name))
  return faults.length > most ? `${names.join(", ")} and ${faults.length - most} more` : listed(names)
}

export function ruleName(rule: Rule): string {
  return rule.name === undefined ? `the rule on line ${rule.line}` : backticked(rule.name)
}

/** What an elimination is called in a sentence. */
export function eliminationName(model: Model, { rule, from, formula, out }: Elimination): string {
  if (rule !== undefined) return ruleName(at(model.rules, rule))
  const reading = formula.kind === "in" ? at(model.readings, formula.reading).name : ""
  return from === "normally"
    ? `what ${backticked(reading)} normally is`
    : `what ${faultNames(model, out)} shows on ${backticked(reading)}`
}

export function eliminationLabels(model: Model, eliminations: readonly Elimination[]): Label[] {
  return eliminations.map(({ span, out, from, formula }) => {
    if (from === undefined) return { span, text: `rules out ${faultNames(model, out, 3)}` }
    const whose = from === "shows" ? "" : ` with ${faultNames(model, out, 3)}`
    return { span, text: `gives no chance to ${conditionText(model, formula)}${whose}` }
  })
}
