import type { Edit } from "../../diagnostics/diagnostic.ts"
import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { counted } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { findingsText } from "../condition-text.ts"
import { allHold, exceptEdit, neverEdit } from "../edits.ts"
import { eliminationLabels } from "../message-parts.ts"
import { contradictions } from "../proofs/contradictions.ts"

export const contradiction: Check = {
  code: "contradiction",
  severity: "error",
  summary: "Findings that no `never` forbids rule out every listed fault.",
  explain: `Somebody at the bench can find just this, and then the ruleset says that nothing is wrong with a machine that does
not work. Either such findings cannot occur together: say so with a \`never\`. Or a rule goes too far: let it spare the
fault that stays possible with an \`except\`. Or a fault is missing from the list. The finding names the fewest readings,
and for these the fewest rules, that leave no fault.`,
  example: `when rail below 22 V  rule out motor_worn, motor_open
when hum is no        rule out board_dead, plug_loose, gear_held`,
  fixed: `when rail below 22 V  rule out motor_worn, motor_open
when hum is no        rule out board_dead, plug_loose`,
  *run(context) {
    const { model } = context
    for (const { findings, by, smallest } of contradictions(context)) {
      const eliminations = by.map((i) => context.eliminations[i]!)
      const rules = by.flatMap((i) => context.eliminations[i]!.rule ?? [])
      const rest = by.length - rules.length
      const parts = [
        ...(rules.length > 0 ? [counted(rules.length, "rule")] : []),
        ...(rest > 0
          ? [
              rest === 1
                ? "what one `shows` or `normally` excludes"
                : `what ${counted(rest, "`shows` or `normally`", "`shows` or `normally`")} exclude`,
            ]
          : []),
      ]
      const subject = rest > 0 ? parts.join(" and ") : `${rules.length === 1 ? "this" : "these"} ${parts[0]}`
      const message = `With ${findingsText(model, findings)}, ${subject} ${by.length === 1 ? "leaves" : "leave"} no fault.`
      const last = eliminations.reduce((a, b) =>
        b.span.file === a.span.file && b.span.start < a.span.start ? a : b,
      )
      const edits: Edit[] = [
        neverEdit(model, findings, allHold(eliminations.map((each) => each.formula)), last.span),
      ]
      for (const rule of rules) {
        const spared = likeliest(
          model.rules[rule]!.out.filter(
            (fault) => eliminations.filter((each) => each.out.includes(fault)).length === 1,
          ),
        )
        const edit = spared === undefined ? undefined : exceptEdit(model, rule, spared)
        if (edit !== undefined) edits.push(edit)
      }
      yield diagnostic("error", "contradiction", last.span, message, {
        labels: eliminationLabels(model, eliminations),
        help: `If that cannot be found, say so with a \`never\`; else let one of them spare a fault with \`except\`, or add the fault that is missing.${smallest ? "" : " (Fewer findings or rules may do it too: the search ended at its budget.)"}`,
        edits,
      })
    }

    function likeliest(faults: readonly number[]): number | undefined {
      return [...faults].sort((a, b) => model.faults[b]!.odds - model.faults[a]!.odds)[0]
    }
  },
}
