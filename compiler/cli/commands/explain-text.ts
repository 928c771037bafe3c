/** `compile --explain` and `compile --what-if`: why the plan is as it is, and what would make it cheaper. */
import type { Compiled } from "../../compile.ts"
import { type Explained, explain } from "../../graph/explain.ts"
import type { PlanOptions } from "../../plan/plan.ts"
import { makePlan } from "../../plan/planner.ts"
import { suppose } from "../../what-if.ts"
import { fixedPercent, money, moneyChange } from "../../wording/figures.ts"
import { plain, style } from "../io/terminal.ts"
import { UserError } from "../io/user-error.ts"

/** Steps that fewer jobs get to are left out of the list. */
const LEAST_REACH = 0.01

export function stepsOf({ model, plan }: Compiled): Explained[] {
  return model && plan ? explain(model, plan, LEAST_REACH) : []
}

export function stepsText(steps: readonly Explained[], color: boolean): string {
  const { bold, dim } = style(color)
  const lines = steps.map(({ reach, test, text }) => {
    return `${dim(fixedPercent(reach).padStart(7))}  ${bold(test)}: ${plain(text)}`
  })
  return `${bold("Why each step comes where it does, with the share of jobs that get there:")}\n${lines.join("\n")}\n`
}

export interface Supposed {
  readonly words: string
  /** Expected cost of a job then, and how much more that is than now. */
  readonly total: number
  readonly more: number
  readonly exact: boolean
}

/** Plans the ruleset with each supposition, one at a time. */
export function supposed(compiled: Compiled, words: readonly string[], options: PlanOptions): Supposed[] {
  if (!compiled.plan) return []
  const now = compiled.plan.expected.total
  return words.map((each) => {
    const { model, diagnostics } = suppose(compiled.trees, compiled.sources, each)
    const wrong = diagnostics.find(({ severity }) => severity === "error")
    if (!model || wrong) {
      throw new UserError(
        `--what-if ${JSON.stringify(each)}: ${wrong?.message ?? "it can't be planned."}`,
        wrong?.help,
      )
    }
    const { expected, exact } = makePlan(model, options)
    return { words: each, total: expected.total, more: expected.total - now, exact }
  })
}

export function supposedText(
  results: readonly Supposed[],
  currency: string,
  exact: boolean,
  color: boolean,
): string {
  const { bold, dim } = style(color)
  const lines = results.map(({ words, total, more }) => {
    return `  ${plain(words)}: ${money(total, currency)} a job, ${bold(moneyChange(more, currency))}`
  })
  const proved = exact && results.every((each) => each.exact)
  const note = proved
    ? ""
    : dim("  Not all of these plans are proved optimal: small differences may come from the search.\n")
  return `${bold("What if:")}\n${lines.join("\n")}\n${note}`
}
