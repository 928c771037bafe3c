import { type Diagnostic, diagnostic, inOrder } from "../diagnostics/diagnostic.ts"
import type { Model } from "../model/model.ts"
import type { Plan } from "../plan/plan.ts"
import { last } from "../run/lookup.ts"
import type { Check } from "./code.ts"
import { beatenTest } from "./codes/beaten-test.ts"
import { blindTest } from "./codes/blind-test.ts"
import { certainNever } from "./codes/certain-never.ts"
import { confounded } from "./codes/confounded.ts"
import { contradiction } from "./codes/contradiction.ts"
import { deadFault } from "./codes/dead-fault.ts"
import { finerThanMeter } from "./codes/finer-than-meter.ts"
import { freeRepair } from "./codes/free-repair.ts"
import { gapInRules } from "./codes/gap-in-rules.ts"
import { hangsOnOne } from "./codes/hangs-on-one.ts"
import { hearsay } from "./codes/hearsay.ts"
import { idleRule } from "./codes/idle-rule.ts"
import { inseparable } from "./codes/inseparable.ts"
import { liveWithoutCaution } from "./codes/live-without-caution.ts"
import { neverBlamed } from "./codes/never-blamed.ts"
import { neverDone } from "./codes/never-done.ts"
import { neverRepaired } from "./codes/never-repaired.ts"
import { noWayOn } from "./codes/no-way-on.ts"
import { opposedRules } from "./codes/opposed-rules.ts"
import { ruleAgainstShows } from "./codes/rule-against-shows.ts"
import { shortProof } from "./codes/short-proof.ts"
import { silentReading } from "./codes/silent-reading.ts"
import { sureOfItself } from "./codes/sure-of-itself.ts"
import { uncoveredValues } from "./codes/uncovered-values.ts"
import { unexplained } from "./codes/unexplained.ts"
import { ungatedRepair } from "./codes/ungated-repair.ts"
import { unreachableRule } from "./codes/unreachable-rule.ts"
import { type CheckOptions, Context, type Unproved } from "./context.ts"
import { BudgetSpent } from "./logic/budget.ts"

/** All codes, in the order of the reference. */
export const checks: readonly Check[] = [
  unreachableRule,
  idleRule,
  contradiction,
  unexplained,
  ruleAgainstShows,
  opposedRules,
  certainNever,
  silentReading,
  deadFault,
  neverRepaired,
  freeRepair,
  sureOfItself,
  neverBlamed,
  inseparable,
  blindTest,
  beatenTest,
  confounded,
  hearsay,
  finerThanMeter,
  uncoveredValues,
  gapInRules,
  liveWithoutCaution,
  ungatedRepair,
  shortProof,
  noWayOn,
  hangsOnOne,
  neverDone,
]

/**
 * Analyses a model: what is wrong with it as a whole, each diagnostic with its proof. Exact over the findings that can
 * occur; no diagnostics means that nothing is wrong. Without a plan the codes about the best plan report nothing.
 */
export function check(model: Model, plan?: Plan, options: CheckOptions = {}): Diagnostic[] {
  options.proofs?.begin()
  return run(
    checks.filter((each) => !each.ofPlan || plan),
    new Context(model, plan, options),
  )
}

/** Only the codes about the best plan; each diagnostic says where the plan was not proved best. */
export function checkPlan(model: Model, plan: Plan, options: CheckOptions = {}): Diagnostic[] {
  return run(
    checks.filter((each) => each.ofPlan),
    new Context(model, plan, options),
  )
}

function run(chosen: readonly Check[], context: Context): Diagnostic[] {
  const found = chosen.flatMap((each) => upTo(context.limit, answered(each, context)))
  const unproved = context.unproved
    .filter(({ code }) => chosen.some((each) => each.code === code))
    .map(notProved)
  return inOrder([...found, ...upTo(context.limit, unproved)])
}

/** What a check finds, up to a question for which the budget doesn't suffice. */
function* answered(each: Check, context: Context): Iterable<Diagnostic> {
  try {
    yield* each.run(context)
  } catch (error) {
    if (!(error instanceof BudgetSpent)) throw error
    const { span } = context.model.ruleset
    // What it found before stands.
    context.unproved.push({
      code: each.code,
      span,
      what: `there are more problems of the kind \`${each.code}\``,
    })
  }
}

/** What was not proved is no clean result, so it is as severe as what it may hide, short of an error. */
function notProved({ code, span, what }: Unproved): Diagnostic {
  const severity = checks.find((each) => each.code === code)?.severity === "note" ? "note" : "warning"
  return diagnostic(severity, code, span, `Not proved within the budget of the analysis: whether ${what}.`, {
    help: "The conditions that bear on it have too many combinations. Split them, or say with a `never` what can't be.",
  })
}

/** Explaining costs, so diagnostics beyond the limit are not even made; the last one says that there are more. */
function upTo(limit: number, diagnostics: Iterable<Diagnostic>): Diagnostic[] {
  const shown: Diagnostic[] = []
  for (const diagnostic of diagnostics) {
    if (shown.length === limit) {
      const final = last(shown)
      const more = "There are more of this kind: fix these first."
      return [
        ...shown.slice(0, -1),
        { ...final, help: final.help === undefined ? more : `${final.help} ${more}` },
      ]
    }
    shown.push(diagnostic)
  }
  return shown
}
