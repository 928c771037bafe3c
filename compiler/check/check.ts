import type { Model } from "../model/model.ts"
import type { Plan } from "../plan/plan.ts"
import { type Finding, inOrder } from "../syntax/finding.ts"
import { beatenTest } from "./codes/beaten-test.ts"
import { blindTest } from "./codes/blind-test.ts"
import { certainNever } from "./codes/certain-never.ts"
import { confounded } from "./codes/confounded.ts"
import { contradiction } from "./codes/contradiction.ts"
import { deadFault } from "./codes/dead-fault.ts"
import { finerThanMeter } from "./codes/finer-than-meter.ts"
import { hearsay } from "./codes/hearsay.ts"
import { idleRule } from "./codes/idle-rule.ts"
import { inseparable } from "./codes/inseparable.ts"
import { liveWithoutCaution } from "./codes/live-without-caution.ts"
import { neverBlamed } from "./codes/never-blamed.ts"
import { neverDone } from "./codes/never-done.ts"
import { noWayOn } from "./codes/no-way-on.ts"
import { opposedRules } from "./codes/opposed-rules.ts"
import { shortProof } from "./codes/short-proof.ts"
import { silentReading } from "./codes/silent-reading.ts"
import { uncoveredValues } from "./codes/uncovered-values.ts"
import { unreachableRule } from "./codes/unreachable-rule.ts"
import { type Check, type CheckOptions, Context } from "./context.ts"
import { capped } from "./words.ts"

/** All codes, in the order of the reference. */
export const checks: readonly Check[] = [
  unreachableRule,
  idleRule,
  contradiction,
  opposedRules,
  certainNever,
  silentReading,
  deadFault,
  neverBlamed,
  inseparable,
  blindTest,
  beatenTest,
  confounded,
  hearsay,
  finerThanMeter,
  uncoveredValues,
  liveWithoutCaution,
  shortProof,
  noWayOn,
  neverDone,
]

/**
 * The analysis of a model: what is wrong with it as a whole, each finding with its proof. Exact over the findings that
 * can occur; a clean result means that there is nothing. The codes that speak of the best plan need `plan`, and say so
 * where it was not proved best; without one they are silent.
 */
export function check(model: Model, plan?: Plan, options: CheckOptions = {}): Finding[] {
  options.memory?.begin()
  const context = new Context(model, plan, options)
  const findings = checks.flatMap((each) =>
    each.ofPlan && plan === undefined ? [] : capped([...each.run(context)], context.limit),
  )
  return inOrder(findings)
}
