import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { conditionText } from "../condition-text.ts"
import type { Context } from "../context.ts"
import { doableTests, type Obstacle } from "../proofs/doable-tests.ts"

export const neverDone: Check = {
  code: "never-done",
  severity: "warning",
  summary: "A test whose `after` or `only if` can never be met.",
  explain: `Nobody can ever do this test. No findings that can occur meet its \`only if\`, or it needs a reading that no test takes
before it, or it comes \`after\` a test that can never be done. Fix the clause, or add a test that reads what it needs.`,
  example: `test try_hot "Fit the known-good board while the motor is hot"  swaps board  takes 9 min
  only if rail below 5 V and rail above 20 V`,
  fixed: `test try_hot "Fit the known-good board while the motor is hot"  swaps board  takes 9 min
  only if rail above 20 V`,
  *run(context) {
    const { model } = context
    if (!context.possible) return
    for (const [index, obstacle] of context.once(doableTests).obstacles) {
      const test = at(model.tests, index)
      const why = reason(context, obstacle)
      const span =
        (obstacle.kind === "condition" || obstacle.kind === "unread" ? test.onlyIf?.span : undefined) ??
        test.span
      yield diagnostic("warning", "never-done", span, `${backticked(test.name)} can never be done: ${why}.`, {
        help:
          obstacle.kind === "unread"
            ? "Add a test that reads it, or fix the clause."
            : "Fix the clause, or remove the test.",
      })
    }
  },
}

function reason(context: Context, obstacle: Obstacle): string {
  const { model } = context
  const name = (other: TestIndex) => backticked(at(model.tests, other).name)
  switch (obstacle.kind) {
    case "after":
      return `it comes after ${name(obstacle.test)}, which can never be done`
    case "afterAny":
      return `it comes after any of ${listed(obstacle.tests.map(name), "or")}, and none of them can ever be done`
    case "condition":
      return `its \`only if\` (${conditionText(model, context.formula(obstacle.condition))}) isn't met by any findings that can occur`
    case "unread": {
      const names = obstacle.readings.map((reading) => backticked(at(model.readings, reading).name))
      return `its \`only if\` needs ${listed(names)}, which no test reads before it`
    }
  }
}
