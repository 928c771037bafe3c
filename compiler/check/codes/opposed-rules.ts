import type { Edit } from "../../diagnostics/diagnostic.ts"
import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { at } from "../../run/lookup.ts"
import { capitalized } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { findingsText, limitNote } from "../condition-text.ts"
import { allHold, exceptEdit, neverEdit } from "../edits.ts"
import { faultNames, ruleName } from "../message-parts.ts"
import { opposedPairs } from "../proofs/opposed-rules.ts"

export const opposedRules: Check = {
  code: "opposed-rules",
  severity: "error",
  summary: "One rule `leaves only` what another rules out, under findings that can occur.",
  explain: `The two rules contradict each other: one says that it must be one of these faults, the other that it is none of them. One
of the conditions is too wide, or the findings cannot occur together and a \`never\` is missing. Rules with a percentage
don't count: they leave something of everything.`,
  example: `when hum is no         leaves only motor_open, motor_worn
when rail below 12 V   rule out motor_open, motor_worn`,
  fixed: `when hum is no         leaves only motor_open, motor_worn
when rail below 12 V   rule out motor_open`,
  *run(context) {
    const { model } = context
    for (const { leaves, against, kept, explain } of context.once(opposedPairs)) {
      const { findings, smallest } = explain()
      const [first, second] = [at(model.rules, leaves), at(model.rules, against)]
      const formulas = [leaves, against].map((i) => at(context.eliminations, i).formula)
      const edits: Edit[] = [neverEdit(model, findings, allHold(formulas), second.span)]
      const spared = second.verb === "rule out" ? exceptEdit(model, against, at(kept, 0)) : undefined
      if (spared !== undefined) edits.push(spared)
      const message = `${capitalized(ruleName(second))} rules out ${faultNames(model, kept)}, which ${kept.length === 1 ? "is" : "are"} all that ${ruleName(first)} leaves: both act with ${findingsText(model, findings)}.`
      yield diagnostic("error", "opposed-rules", second.span, message, {
        labels: [{ span: first.span, text: `leaves only ${faultNames(model, kept, 3)}` }],
        help: `Narrow one of the two conditions, or say with a \`never\` that this cannot be found.${limitNote(smallest)}`,
        edits,
      })
    }
  },
}
