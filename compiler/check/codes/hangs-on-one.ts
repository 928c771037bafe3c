import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { Model } from "../../model/model.ts"
import type { TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { percent } from "../../wording/figures.ts"
import { backticked, listedNames } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { indispensableTests, MOST_HANDED_OVER } from "../proofs/indispensable-tests.ts"

/** Of the tests that wait for it, so many are named. */
const MOST_NAMED = 3

export const hangsOnOne: Check = {
  code: "hangs-on-one",
  severity: "warning",
  ofPlan: true,
  summary: "A test without which more than a quarter of the jobs end in handing over.",
  explain: `If this test can't be done, because its tool is missing or the technician isn't allowed to, more than a quarter of the jobs
are handed over: nothing else in the ruleset does its work. Add another way: a second reading that tells the same, a
known-good part to try, or let fewer tests wait for its findings. The share is that of the best plan without the test, as
far as it was worked out. That takes a plan for each test that many jobs need, so it is only done where a plan is asked
for: by \`compile\` and \`check --plan\`, not while you type.`,
  example: `part  arm "barrier arm"  price 150
part  hub "arm hub"      price 140
fault arm_bent "arm bent at the root"  in arm  odds 15
  shows lean is left
fault hub_bent "hub bent"              in hub  odds 15
  shows lean is right
reading lean "Which way does the arm lean?"  one of none, left, right
  normally is none 99%
test look_lean "Look along the arm"  reads lean  takes 2 min`,
  fixed: `part  arm "barrier arm"  price 150  spare
part  hub "arm hub"      price 140  spare
fault arm_bent "arm bent at the root"  in arm  odds 15
  shows lean is left
fault hub_bent "hub bent"              in hub  odds 15
  shows lean is right
reading lean "Which way does the arm lean?"  one of none, left, right
  normally is none 99%
test look_lean "Look along the arm"  reads lean  takes 2 min
test try_arm "Fit the known-good arm"  swaps arm  takes 10 min
test try_hub "Fit the known-good hub"  swaps hub  takes 10 min`,
  *run(context) {
    const { model, plan } = context
    if (plan === undefined || context.cannot === 0 || plan.expected.handedOver > MOST_HANDED_OVER) return
    for (const { test, handedOver, waiting, exact } of indispensableTests(context, plan)) {
      const { name, span } = at(model.tests, test)
      const cut = waiting.length === 0 ? "" : ` ${waitingText(model, waiting)}`
      const note =
        exact && plan.exact
          ? ""
          : " (Not proved: one of the plans compared was not proved best within its limit.)"
      yield diagnostic(
        "warning",
        "hangs-on-one",
        span,
        `Without ${backticked(name)}, ${percent(handedOver)} of the jobs are handed over; with it, ${percent(plan.expected.handedOver)}.`,
        {
          labels: waiting.slice(0, MOST_NAMED).map((other) => {
            const { onlyIf, span: own } = at(model.tests, other)
            return { span: onlyIf?.span ?? own, text: "waits for it" }
          }),
          help: `Add another way to find out what it tells, or to try a part.${cut}${note}`,
        },
      )
    }
  },
}

function waitingText(model: Model, waiting: readonly TestIndex[]): string {
  const names = listedNames(
    waiting.map((test) => at(model.tests, test).name),
    "and",
    MOST_NAMED,
  )
  return `Without it, ${names} can't be done either: ${waiting.length === 1 ? "it waits" : "they wait"} for its findings.`
}
