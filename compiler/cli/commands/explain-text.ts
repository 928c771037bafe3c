/** `compile --explain`: why the plan is as it is. */
import type { Compiled } from "../../compile.ts"
import { type Explained, explain } from "../../graph/explain.ts"
import { fixedPercent } from "../../wording/figures.ts"
import { plain, style } from "../io/terminal.ts"

/** Steps that fewer jobs get to are left out of the list. */
const LEAST_REACH = 0.01

export function explainedSteps({ model, plan }: Compiled): Explained[] {
  return model && plan ? explain(model, plan, LEAST_REACH) : []
}

export function explainedText(steps: readonly Explained[], color: boolean): string {
  const { bold, dim } = style(color)
  const lines = steps.map(
    ({ reach, step, after, depth, text }) =>
      `${dim(fixedPercent(reach).padStart(7))}  ${"  ".repeat(depth)}${after === "" ? "" : `${plain(after)}: `}${bold(step)}: ${plain(text)}`,
  )
  return `${bold("Why each step comes where it does, with the share of jobs that get there:")}\n${lines.join("\n")}\n`
}
