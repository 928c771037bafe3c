import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { capitalized, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { eliminationLabels, eliminationName, faultNames, ruleName } from "../message-parts.ts"
import { idleRules } from "../proofs/idle-rules.ts"

export const idleRule: Check = {
  code: "idle-rule",
  severity: "warning",
  summary: "Whenever the rule acts, all that it rules out is ruled out by others.",
  explain: `Taking this rule out changes nothing: at every point at which its condition becomes known, the others named here have
ruled out the same faults already. Mostly it was meant to say something else, or it is left over from an earlier version.
A \`shows\` or \`normally\` that leaves the value no chance counts as well; then the rule is idle only while the machine
is as it came in, because a rule also speaks of a part that has been swapped since.`,
  example: `when rail below 22 V             rule out motor_worn, motor_open
when rail below 20 V and hum is no  rule out motor_worn`,
  fixed: `when rail below 22 V             rule out motor_worn
when rail below 20 V and hum is no  rule out motor_open`,
  *run(context) {
    const { model } = context
    for (const { rule: index, spare, explain } of context.once(idleRules)) {
      const { by, smallest } = explain()
      const rule = model.rules[index]!
      const eliminations = by.map((i) => context.eliminations[i]!)
      const names = listed(eliminations.map((each) => eliminationName(model, each)))
      const alone = eliminations.every((each) => each.rule !== undefined)
      const what =
        rule.out.length === 0
          ? "it rules out no fault at all"
          : `whenever it acts, ${names} ${eliminations.length === 1 ? "has" : "have"} ruled out ${faultNames(model, rule.out)} already`
      yield diagnostic(
        "warning",
        "idle-rule",
        rule.span,
        `${capitalized(ruleName(rule))} is idle: ${what}.`,
        {
          labels: eliminationLabels(model, eliminations),
          help: `Take it out, or mend its condition.${alone ? "" : " As long as nothing has been swapped or redone, that is: after that a `shows` no longer excludes."}${smallest ? "" : " (Fewer may do it too: the search ended at its budget.)"}`,
          edits: [
            { title: "remove the idle rule", safe: spare && alone, changes: [{ span: rule.span, text: "" }] },
          ],
        },
      )
    }
  },
}
