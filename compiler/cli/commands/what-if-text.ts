/** `compile --what-if`: what would make a job cheaper, and where the difference comes from. */
import type { Compiled } from "../../compile.ts"
import type { Expected, PlanOptions } from "../../plan/plan.ts"
import { makePlan } from "../../plan/planner.ts"
import { suppose } from "../../what-if.ts"
import { fixedPercent, minutes, money, moneyChange } from "../../wording/figures.ts"
import { listed } from "../../wording/sentence.ts"
import { plain, style } from "../io/terminal.ts"
import { UserError } from "../io/user-error.ts"
import { figureNames, NOT_KNOWING } from "./plan-figures.ts"

export interface Supposed {
  readonly words: string
  /** Expected cost of a job then, and how much more that is than now. */
  readonly total: number
  readonly more: number
  readonly expected: Expected
  readonly exact: boolean
}

/** Plans the ruleset with each supposition, one at a time. */
export function supposed(compiled: Compiled, words: readonly string[], options: PlanOptions): Supposed[] {
  if (!compiled.plan) return []
  const now = compiled.plan.expected.total
  return words.map((each) => {
    const { model, diagnostics } = suppose(compiled.trees, compiled.sources, each, compiled.pictures)
    const wrong = diagnostics.find(({ severity }) => severity === "error")
    if (!model || wrong) {
      throw new UserError(
        `--what-if ${JSON.stringify(each)}: ${wrong?.message ?? "it can't be planned."}`,
        wrong?.help,
      )
    }
    const { expected, exact } = makePlan(model, options)
    return { words: each, total: expected.total, more: expected.total - now, expected, exact }
  })
}

export function supposedText(
  results: readonly Supposed[],
  { plan, model }: Compiled,
  color: boolean,
): string {
  if (!plan || !model) return ""
  const { bold, dim } = style(color)
  const currency = model.ruleset.money
  const lines = results.flatMap(({ words, total, more, expected }) => {
    const changes = changesText(plan.expected, expected, currency)
    return [
      `  ${plain(words)}: ${money(total, currency)} a job, ${bold(moneyChange(more, currency))}`,
      ...(changes === "" ? [] : [dim(`    ${changes}`)]),
    ]
  })
  const isProved = plan.exact && results.every((each) => each.exact)
  const note = isProved
    ? ""
    : dim("  Not all of these plans are proved optimal: small differences may come from the search.\n")
  return `${bold("What if:")}\n${lines.join("\n")}\n${note}`
}

/** What changes for a job besides its cost, in the order in which a shop asks: `parts bought in vain 3 EUR less`. */
function changesText(now: Expected, then: Expected, currency: string): string {
  const amounts: [string, number][] = [
    [NOT_KNOWING, then.total - then.unavoidable - (now.total - now.unavoidable)],
    [figureNames.wasted, then.wasted - now.wasted],
    [figureNames.waiting, then.waiting - now.waiting],
  ]
  const shares: [string, number, number][] = [
    [figureNames.comesBack, now.comesBack, then.comesBack],
    [figureNames.handedOver, now.handedOver, then.handedOver],
  ]
  const work = then.minutes - now.minutes
  return listed([
    ...amounts.flatMap(([name, more]) =>
      Math.abs(more) < 0.005 ? [] : [`${name} ${moneyChange(more, currency)}`],
    ),
    ...shares.flatMap(([name, before, after]) =>
      Math.abs(after - before) < 5e-4 ? [] : [`${name} ${fixedPercent(before)} → ${fixedPercent(after)}`],
    ),
    ...(Math.abs(work) < 0.05 ? [] : [`work ${minutes(Math.abs(work))} ${work > 0 ? "more" : "less"}`]),
  ])
}
