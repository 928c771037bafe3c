import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { at } from "../../run/lookup.ts"
import { capitalized, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { eliminationLabels, eliminationName, faultNames, ruleName } from "../message-parts.ts"
import { idleRules } from "../proofs/idle-rules.ts"

export const idleRule: Check = {
  code: "idle-rule",
  severity: "warning",
  summary: "Whenever the rule acts, all that it rules out is ruled out by others.",
  explain: `Removing this rule changes nothing: whenever its condition becomes known, the others named here have already ruled out the
same conditions. Usually the rule was meant to say something else, or it is left over from an earlier version. A \`shows\`
or \`normally\` that gives the value no chance counts as well. Then the rule is idle only while nothing has been swapped,
redone or repaired. Rules with a percentage never make another rule idle, since they rule nothing out for certain.`,
  example: `when rail below 22 V             rule out plug_loose, gear_held
when rail below 20 V and hum is no  rule out plug_loose`,
  fixed: `when rail below 22 V             rule out plug_loose
when rail below 20 V and hum is no  rule out gear_held`,
  *run(context) {
    const { model } = context
    for (const { rule: index, spare, explain } of context.once(idleRules)) {
      const { by, smallest } = explain()
      const rule = at(model.rules, index)
      const eliminations = by.map((i) => at(context.eliminations, i))
      const names = listed(eliminations.map((each) => eliminationName(model, each)))
      const alone = eliminations.every((each) => each.rule !== undefined)
      const what =
        at(context.eliminations, index).out.length === 0
          ? "it rules out no fault"
          : `whenever it acts, ${names} ${eliminations.length === 1 ? "has" : "have"} ruled out ${faultNames(model, at(context.eliminations, index).out)} already`
      yield diagnostic(
        "warning",
        "idle-rule",
        rule.span,
        `${capitalized(ruleName(rule))} is idle: ${what}.`,
        {
          labels: eliminationLabels(model, eliminations),
          help: `Remove it, or fix its condition.${alone ? "" : " It is idle only until something is swapped, redone or repaired: after that a `shows` excludes nothing."}${smallest ? "" : " (Fewer may be enough: the search reached its limit.)"}`,
          edits: [
            { title: "remove the idle rule", safe: spare && alone, changes: [{ span: rule.span, text: "" }] },
          ],
        },
      )
    }
  },
}
