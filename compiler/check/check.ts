import type { Model } from "../model/model.ts"
import type { Plan } from "../plan/plan.ts"
import { type Finding, inOrder } from "../syntax/finding.ts"
import { certainNever } from "./codes/certain-never.ts"
import { contradiction } from "./codes/contradiction.ts"
import { deadFault } from "./codes/dead-fault.ts"
import { idleRule } from "./codes/idle-rule.ts"
import { opposedRules } from "./codes/opposed-rules.ts"
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
  deadFault,
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
