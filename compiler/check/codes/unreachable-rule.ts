import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { RuleIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { capitalized, counted, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { conditionText } from "../condition-text.ts"
import type { Context } from "../context.ts"
import { type Formula, readingsOf } from "../logic/formula.ts"
import type { SmallestSet } from "../logic/smallest-set.ts"
import { FindingSpace } from "../logic/space.ts"
import { partFalse, partTrue, smallestKnownConflict } from "../logic/witnesses.ts"
import { ruleName } from "../message-parts.ts"

export const unreachableRule: Check = {
  code: "unreachable-rule",
  severity: "error",
  summary: "The rule's condition is never true under the domains and the `never`s.",
  explain: `No machine can show what this rule waits for, so the rule never acts. Usually a limit is mistyped, an \`and\` should be
an \`or\`, or a \`never\` forbids more than it should. The message names the smallest set of clauses that cannot hold
together: one of them is wrong.`,
  example: `when rail below 9 V and rail above 15 V  rule out plug_loose`,
  fixed: `when rail below 9 V and hum is yes  rule out plug_loose`,
  *run(context) {
    const { model } = context
    for (const [index, rule] of model.rules.entries()) {
      if (!context.unreachable[index]) continue
      const { items, nevers, smallest } = clashOf(context, index)
      const clauses = items.map((item) => conditionText(model, item))
      const barred = nevers.map((never) => at(model.nevers, never))
      const ground =
        barred.length === 0
          ? clauses.length === 1
            ? `no value meets ${clauses[0]}`
            : `${listed(clauses)} cannot hold together`
          : `${listed(clauses)} ${clauses.length === 1 ? "is" : "are"} forbidden by ${counted(barred.length, "`never`")}`
      yield diagnostic(
        "error",
        "unreachable-rule",
        rule.span,
        `${capitalized(ruleName(rule))} can never act: ${ground}.`,
        {
          labels: barred.map(({ span }) => ({ span, text: "forbids it" })),
          help: `Fix one of these clauses, or remove the rule.${smallest ? "" : " (There may be a smaller set of clauses: the search reached its limit.)"}`,
          edits: [{ title: "remove the rule", safe: false, changes: [{ span: rule.span, text: "" }] }],
        },
      )
    }
  },
}

/** The fewest items of the rule's condition and `never`s, by index, that cannot hold together. */
export function clashOf(context: Context, rule: RuleIndex) {
  const { space, proofs } = context
  const { formula } = at(context.eliminations, rule)
  const items = formula.kind === "and" ? formula.items : [formula]
  const linked = space.closure(readingsOf(formula))
  const nevers = [...space.nevers.keys()].filter((never) =>
    readingsOf(at(space.nevers, never)).some((reading) => linked.includes(reading)),
  )
  // Kept by place among these, since an edit may shift their indexes.
  const { elements, smallest } = proofs.prove(`clash ${context.keys.of(formula)}`, () =>
    fewestClauses(
      context,
      items,
      nevers.map((never) => at(space.nevers, never)),
    ),
  )
  return {
    items: elements.flatMap((i) => items[i] ?? []),
    nevers: elements.flatMap((i) => nevers[i - items.length] ?? []),
    smallest,
  }
}

function fewestClauses(
  context: Context,
  items: readonly Formula[],
  nevers: readonly Formula[],
): SmallestSet<number> {
  const free = new FindingSpace(context.model, [])
  const parts = [
    ...items.map((item) => partTrue(free, item)),
    ...nevers.map((never) => partFalse(free, never)),
  ]
  return smallestKnownConflict(free, parts, context.effort)
}
