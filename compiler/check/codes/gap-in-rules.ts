import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { RuleIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Check } from "../code.ts"
import { conditionText, limitNote } from "../condition-text.ts"
import type { Context } from "../context.ts"
import { allHold, neverEdit } from "../edits.ts"
import { type Formula, readingsOf } from "../logic/formula.ts"
import { gapsInRules, noneActs } from "../proofs/gaps.ts"

export const gapInRules: Check = {
  code: "gap-in-rules",
  severity: "note",
  summary: "Findings on which no rule acts, although rules speak of each of their readings.",
  explain: `Read the rules as a decision table: for these findings it has no row. Nothing is ruled out there, whatever else is read.
Add a rule, or say with a \`never\` that the findings cannot occur together. Where faults have \`shows\`, findings tell
something without a rule, so gaps are reported only if no fault has one, or with \`ruleout check --gaps\`.`,
  example: `when rail below 22 V                  rule out motor_worn
when rail at least 22 V and hum is no  rule out plug_loose`,
  fixed: `when rail below 22 V                   rule out motor_worn
when rail at least 22 V and hum is no   rule out plug_loose
when rail at least 22 V and hum is yes  rule out gear_held`,
  asksForGaps: true,
  *run(context) {
    const { model } = context
    if (!context.gaps && model.faults.some((fault) => fault.shows.length > 0)) return
    const none = allHold([context.once(noneActs)])
    for (const { condition, findings, smallest } of gapsInRules(context)) {
      const rule = ruleAbout(context, condition)
      const budget = limitNote(smallest)
      yield diagnostic(
        "note",
        "gap-in-rules",
        rule.span,
        `No rule acts if ${conditionText(model, condition)}.`,
        {
          help: `Add a rule for these findings, or say with a \`never\` that they cannot occur together.${budget}`,
          edits: [neverEdit(model, findings, none, rule.span)],
        },
      )
    }
  },
}

/** The rule that speaks of most of these readings, the first of several: a new one would stand beside it. */
function ruleAbout({ model, eliminations }: Context, condition: Formula) {
  const wanted = readingsOf(condition)
  const shared = (rule: RuleIndex) =>
    readingsOf(at(eliminations, rule).formula).filter((reading) => wanted.includes(reading)).length
  return at(
    model.rules,
    at(
      [...model.rules.keys()].sort((a, b) => shared(b) - shared(a)),
      0,
    ),
  )
}
