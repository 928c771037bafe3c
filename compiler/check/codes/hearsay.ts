import { diagnostic, type Edit } from "../../diagnostics/diagnostic.ts"
import type { Model } from "../../model/model.ts"
import type { ReadingIndex, RuleIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { percent } from "../../wording/figures.ts"
import { backticked, capitalized, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { percentEdit } from "../edits.ts"
import { NEVER, readingsOf, restricted } from "../logic/formula.ts"
import { faultNames, ruleName } from "../message-parts.ts"

export const hearsay: Check = {
  code: "hearsay",
  severity: "warning",
  summary: "A fault ruled out on told answers alone that the ruleset trusts less than the rule.",
  explain: `The rule is trusted more than the answer that it acts on, by the ruleset's own \`trust\`. Let the rule ask for a reading as
well, or give it a percentage that is no higher than the \`trust\` of the answer. Or say with \`shows\` how likely the
answer is with this fault: then the answer shifts the chances and settles nothing.`,
  example: `told pushed "Was the arm pushed by hand?"  yes or no  trust 80%
when pushed is no  rule out gear_held`,
  fixed: `told pushed "Was the arm pushed by hand?"  yes or no  trust 80%
when pushed is no and hum is no  rule out gear_held`,
  *run(context) {
    const { model, space, proofs } = context
    for (const [index, rule] of model.rules.entries()) {
      const { formula, out } = at(context.eliminations, index)
      if (out.length === 0 || context.unreachable[index] || !context.possible) continue
      const told = restricted(formula, (reading) => at(model.readings, reading).told)
      if (told === NEVER) continue
      const doubted = readingsOf(told).filter((reading) => at(model.readings, reading).trust < rule.chance)
      if (doubted.length === 0) continue
      const sure = restricted(told, (reading) => !doubted.includes(reading))
      const readings = readingsOf(told)
      const key = `hearsay ${context.keys.of(told, sure)}`
      const subject = { code: "hearsay", span: rule.span, what: `${ruleName(rule)} acts on hearsay alone` }
      const alone = context.attempt(subject, false, () =>
        proofs.prove(key, () => {
          const nodes = [space.holds(told), ...(sure === NEVER ? [] : [space.fails(sure)])]
          return space.ask(nodes, readings) === "yes"
        }),
      )
      if (!alone) continue
      const trusts = doubted.map(
        (reading) =>
          `${backticked(at(model.readings, reading).name)} (trust ${percent(at(model.readings, reading).trust)})`,
      )
      yield diagnostic(
        "warning",
        "hearsay",
        rule.span,
        `${capitalized(ruleName(rule))} rules out ${faultNames(model, out)} on hearsay, from ${listed(trusts)} alone.`,
        {
          labels: doubted.map((reading) => ({
            span: at(model.readings, reading).span,
            text: `trusted to ${percent(at(model.readings, reading).trust)}`,
          })),
          edits: percentEdits(model, index, doubted),
          help: "Let the rule ask for a reading too, trust it no more than the answer, or use `shows` to say how likely the answer is with the fault.",
        },
      )
    }
  },
}

function percentEdits(model: Model, rule: RuleIndex, doubted: readonly ReadingIndex[]): Edit[] {
  const least = Math.min(...doubted.map((reading) => at(model.readings, reading).trust))
  const edit = percentEdit(model, rule, Math.floor(least * 100 + 1e-9))
  return edit === undefined || least <= 0 ? [] : [edit]
}
