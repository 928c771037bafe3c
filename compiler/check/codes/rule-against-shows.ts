import { diagnostic, type Edit } from "../../diagnostics/diagnostic.ts"
import type { Model } from "../../model/model.ts"
import type { RuleIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { percent } from "../../wording/figures.ts"
import { backticked, capitalized } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { findingsText } from "../condition-text.ts"
import { exceptEdit, percentEdit } from "../edits.ts"
import { faultNames, ruleName } from "../message-parts.ts"
import { type AgainstShows, rulesAgainstShows } from "../proofs/rules-against-shows.ts"

export const ruleAgainstShows: Check = {
  code: "rule-against-shows",
  severity: "warning",
  summary:
    "A rule that rules out a fault on findings which the fault itself shows more than 2 % of the time.",
  explain: `The rule says that it can't be this fault; the fault's \`shows\` say that it can. On such jobs
the fault is there and is struck out all the same, and the plan goes on to something else. Give the rule a percentage, so
that it leaves as much as the fault shows. Or correct the \`shows\`: what its percentages don't cover goes to all other
values. Readings that the fault says nothing of are taken as the rule needs them.`,
  example: `fault board_hot "control board fails when hot"  in board  odds 1
  shows rail below 22 V 70%
when rail between 23 and 26 V  rule out board_hot`,
  fixed: `fault board_hot "control board fails when hot"  in board  odds 1
  shows rail below 22 V 70%
when rail between 23 and 26 V  rule out board_hot 85%`,
  *run(context) {
    const { model } = context
    for (const { rule: index, faults, notProved } of rulesAgainstShows(context)) {
      const rule = at(model.rules, index)
      const [first, ...others] = faults
      if (first === undefined) {
        const message = `Not proved: whether ${ruleName(rule)} rules out ${faultNames(model, notProved, 3)} against their own \`shows\`. There are too many combinations of values.`
        yield diagnostic("note", "rule-against-shows", rule.span, message)
        continue
      }
      const { name } = at(model.faults, first.fault)
      const more =
        others.length === 0
          ? ""
          : ` The same goes for ${faultNames(
              model,
              others.map(({ fault }) => fault),
              3,
            )}.`
      const message = `${capitalized(ruleName(rule))} rules out ${backticked(name)} on findings which this fault itself shows ${percent(first.chance)} of the time, such as ${findingsText(model, first.findings)}.`
      yield diagnostic("warning", "rule-against-shows", rule.span, message, {
        labels: labelsFor(model, first),
        help: `Give the rule a percentage, spare the fault with \`except\`, or correct what it \`shows\`.${more}`,
        edits: editsFor(model, index, first),
      })
    }
  },
}

function labelsFor(model: Model, { fault, findings }: AgainstShows) {
  const { shows } = at(model.faults, fault)
  return shows
    .filter(({ reading }) => at(findings, reading) >= 0)
    .map(({ span, reading }) => ({
      span,
      text: `what it shows on ${backticked(at(model.readings, reading).name)}`,
    }))
}

function editsFor(model: Model, rule: RuleIndex, { fault, chance }: AgainstShows): Edit[] {
  const trusted = percentEdit(model, rule, Math.min(98, Math.max(1, Math.floor((1 - chance) * 100))))
  return [trusted, exceptEdit(model, rule, fault)].flatMap((edit) => edit ?? [])
}
