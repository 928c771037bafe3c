import { type Diagnostic, diagnostic } from "../../diagnostics/diagnostic.ts"
import type { Test } from "../../model/model.ts"
import type { TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { conditionText } from "../condition-text.ts"
import type { Context } from "../context.ts"
import { doableTests, type Obstacle, undoableRepairs } from "../proofs/doable-tests.ts"

export const neverDone: Check = {
  code: "never-done",
  severity: "warning",
  summary: "A test or a repair whose `after` or `only if` can never be met.",
  explain: `Nobody can ever do this test. No findings that can occur meet its \`only if\`, or it needs a reading that no test takes
before it, or it comes \`after\` a test that can never be done. Fix the clause, or add a test that reads what it needs. The
same is said of a repair with a \`fix only if\` or \`fit only if\`, and of one with such a clause that nothing says the work of.`,
  example: `test try_hot "Fit the known-good board while the motor is hot"  swaps board  takes 9 min
  only if rail below 5 V and rail above 20 V`,
  fixed: `test try_hot "Fit the known-good board while the motor is hot"  swaps board  takes 9 min
  only if rail above 20 V`,
  *run(context) {
    const { model } = context
    if (!context.possible) return
    for (const [index, obstacle] of context.once(doableTests).obstacles) {
      const test = at(model.tests, index)
      yield found(context, test, obstacle, { done: "done", words: "", remove: "remove the test" })
    }
    for (const { repair, gated, obstacle } of undoableRepairs(context)) {
      const [done, words] = repair.kind === "fix" ? ["fixed", "fix "] : ["replaced", "fit "]
      yield found(context, gated, obstacle, { done, words, remove: "remove it" })
    }
  },
}

/** How it is said of a test, or of a repair. */
interface Wording {
  readonly done: string
  /** Before `only if` in the clause. */
  readonly words: string
  readonly remove: string
}

function found(
  context: Context,
  { name, span, onlyIf }: Pick<Test, "name" | "span" | "onlyIf">,
  obstacle: Obstacle,
  wording: Wording,
): Diagnostic {
  const isOfCondition = obstacle.kind === "condition" || obstacle.kind === "unread"
  const why = reason(context, obstacle, wording)
  return diagnostic(
    "warning",
    "never-done",
    (isOfCondition ? onlyIf?.span : undefined) ?? span,
    `${backticked(name)} can never be ${wording.done}: ${why}.`,
    { help: help(obstacle, wording) },
  )
}

function help({ kind }: Obstacle, { remove }: Wording): string {
  if (kind === "no work") return "Add `fix takes … min` or `fix costs …`."
  return kind === "unread" ? "Add a test that reads it, or fix the clause." : `Fix the clause, or ${remove}.`
}

function reason(context: Context, obstacle: Obstacle, { words }: Wording): string {
  const { model } = context
  const name = (other: TestIndex) => backticked(at(model.tests, other).name)
  switch (obstacle.kind) {
    case "after":
      return `it comes after ${name(obstacle.test)}, which can never be done`
    case "afterAny":
      return `it comes after any of ${listed(obstacle.tests.map(name), "or")}, and none of them can ever be done`
    case "condition":
      return `its \`${words}only if\` (${conditionText(model, context.formula(obstacle.condition))}) isn't met by any findings that can occur`
    case "unread": {
      const names = obstacle.readings.map((reading) => backticked(at(model.readings, reading).name))
      return `its \`${words}only if\` needs ${listed(names)}, which no test reads before it`
    }
    case "no work":
      return "no clause says what fixing it takes, and no test redoes what it is in"
  }
}
