/** What a fit comes to, in sentences: the same at the terminal and on the page. */
import { countOf, signed } from "../../wording/figures.ts"
import { type Fit, fewCases } from "./fit.ts"
import type { NumberChange } from "./patch.ts"
import { fewest, type Validation } from "./validate.ts"

/** `where`: how the author's numbers are given more weight here. */
export function verdictText({ verdict }: Validation, where = ""): string {
  if (verdict === "helps") return "It helps."
  return verdict === "harms"
    ? `It harms: leave the numbers as they are, or let the author's count for more${where}.`
    : "Whether it helps cannot be told."
}

export function lossText({ difference, low, high, cases }: Validation): string {
  return `The log loss changes by ${signed(difference, 3)} (95 % interval ${signed(low, 3)} to ${signed(high, 3)}; less is better), over ${countOf(cases, "case")}.`
}

export function leftOutText({ ruledOut }: Validation): string {
  return `${countOf(ruledOut, "case")} left out: a rule or a hard \`shows\` rules the confirmed fault out.`
}

export function untoldText({ cases, unused }: Fit): string {
  return `Whether it helps cannot be said: that takes ${fewest} cases with a confirmed fault that is not ruled out, and there are ${cases - unused}.`
}

export function unusedText({ unused }: Fit): string {
  return `${unused} more without a confirmed fault that the ruleset lists: not used`
}

/** How many cases speak for a number: those that confirmed the fault, or in which it was looked at. */
function speaking({ kind, seen }: NumberChange): number {
  return kind === "odds" ? seen.count : seen.of
}

export const isFew = (change: NumberChange) => speaking(change) < fewCases
