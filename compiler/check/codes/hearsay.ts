import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { percent } from "../../wording/figures.ts"
import { backticked, capitalized, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { NEVER, readingsOf, restricted } from "../logic/formula.ts"
import { faultNames, ruleName } from "../message-parts.ts"

export const hearsay: Check = {
  code: "hearsay",
  severity: "warning",
  summary: "A fault ruled out on told answers alone whose `trust` is below 100 %.",
  explain: `A rule is certain: it takes a fault out for good. What the owner tells is not, by the ruleset's own \`trust\`. Let the
rule ask for a reading as well; or say with \`shows\` how likely the answer is with this fault, so that the answer shifts
the chances and does not settle them.`,
  example: `told pushed "Was the arm pushed by hand?"  yes or no  trust 80%
when pushed is no  rule out motor_worn`,
  fixed: `told pushed "Was the arm pushed by hand?"  yes or no  trust 80%
when pushed is no and hum is no  rule out motor_worn`,
  *run(context) {
    const { model, space, proofs } = context
    for (const [index, rule] of model.rules.entries()) {
      if (rule.out.length === 0 || context.unreachable[index] || !context.possible) continue
      const { formula } = context.eliminations[index]!
      const told = restricted(formula, (reading) => model.readings[reading]!.told)
      if (told === NEVER) continue
      const doubted = readingsOf(told).filter((reading) => model.readings[reading]!.trust < 1)
      if (doubted.length === 0) continue
      const sure = restricted(told, (reading) => !doubted.includes(reading))
      const readings = readingsOf(told)
      const key = `hearsay ${context.keys.of(told, sure)}`
      const alone = proofs.prove(key, () => {
        const nodes = [space.holds(told), ...(sure === NEVER ? [] : [space.fails(sure)])]
        return space.ask(nodes, readings) === "yes"
      })
      if (!alone) continue
      const trusts = doubted.map(
        (reading) =>
          `${backticked(model.readings[reading]!.name)} (trust ${percent(model.readings[reading]!.trust)})`,
      )
      yield diagnostic(
        "warning",
        "hearsay",
        rule.span,
        `${capitalized(ruleName(rule))} rules out ${faultNames(model, rule.out)} on hearsay: on ${listed(trusts)} alone.`,
        {
          labels: doubted.map((reading) => ({
            span: model.readings[reading]!.span,
            text: `trusted to ${percent(model.readings[reading]!.trust)}`,
          })),
          help: "Let the rule ask for a reading too, or say with `shows` how likely the answer is with the fault.",
        },
      )
    }
  },
}
