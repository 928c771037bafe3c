import { diagnostic, type Edit } from "../../diagnostics/diagnostic.ts"
import type { Model } from "../../model/model.ts"
import type { FaultIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { counted } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { findingsText } from "../condition-text.ts"
import type { Context } from "../context.ts"
import { allHold, exceptEdit, neverEdit, percentEdit } from "../edits.ts"
import { eliminationLabels } from "../message-parts.ts"
import { type Contradiction, contradictions } from "../proofs/contradictions.ts"

export const contradiction: Check = {
  code: "contradiction",
  severity: "error",
  summary: "Findings that no `never` forbids rule out every listed condition, and a rule takes part in it.",
  explain: `Somebody at the bench can find just this, and then the ruleset says that nothing is wrong with a machine that doesn't
work. Either such findings cannot occur together: say so with a \`never\`. Or a rule goes too far: let it spare a fault
with \`except\`, or trust it less with a percentage. Or a fault is missing from the list. If the ruleset has \`second fault\`,
pairs of faults count too; if it has \`unlisted\`, something not listed explains all findings, and only \`leaves only\` can
exclude it. The message names the fewest readings, and for these the fewest rules. If \`shows\` and \`normally\` exclude
everything without any rule, [\`unexplained\`](#unexplained) says so.`,
  example: `when rail below 22 V  rule out motor_worn, motor_open
when hum is no        rule out board_dead, plug_loose, gear_held`,
  fixed: `when rail below 22 V  rule out motor_worn, motor_open
when hum is no        rule out board_dead, plug_loose`,
  *run(context) {
    const { model, eliminations } = context
    for (const found of contradictions(context)) {
      const { findings, rules, distributions, smallest } = found
      const all = [...rules, ...distributions].map((i) => at(eliminations, i))
      const last = rules
        .map((rule) => at(model.rules, rule))
        .reduce((a, b) => (b.span.file === a.span.file && b.span.start < a.span.start ? a : b))
      const subject = `${rules.length === 1 ? "this" : "these"} ${counted(rules.length, "rule")}`
      const others = distributions.length === 0 ? "" : ", with what `shows` and `normally` exclude,"
      const verb = rules.length === 1 ? "leaves" : "leave"
      const message = `With ${findingsText(model, findings)}, ${subject}${others} ${verb} no fault.`
      const budget = smallest ? "" : " (Fewer findings or rules may be enough: the search reached its limit.)"
      yield diagnostic("error", "contradiction", last.span, message, {
        labels: eliminationLabels(model, all),
        help: `If this cannot be found, say so with a \`never\`. Otherwise let a rule spare a fault with \`except\`, trust it less with a percentage, or add the fault that is missing.${budget}`,
        edits: editsFor(context, found),
      })
    }
  },
}

function editsFor(context: Context, { findings, rules, distributions }: Contradiction): Edit[] {
  const { model, eliminations } = context
  const all = [...rules, ...distributions]
  const last = rules
    .map((rule) => at(model.rules, rule))
    .reduce((a, b) => (b.span.start < a.span.start ? a : b))
  const still = allHold(all.map((index) => at(eliminations, index).formula))
  const edits: Edit[] = [neverEdit(model, findings, still, last.span)]
  for (const rule of rules) {
    const alone = at(model.rules, rule).of.filter(
      (fault) => all.filter((index) => context.takes(index, fault)).length === 1,
    )
    const spared = likeliest(model, alone)
    const edit = spared === undefined ? undefined : exceptEdit(model, rule, spared)
    if (edit !== undefined) edits.push(edit)
    const percent = percentEdit(model, rule, 95)
    if (percent !== undefined) edits.push(percent)
  }
  return edits
}

function likeliest(model: Model, faults: readonly FaultIndex[]): FaultIndex | undefined {
  return [...faults].sort((a, b) => at(model.faults, b).odds - at(model.faults, a).odds)[0]
}
