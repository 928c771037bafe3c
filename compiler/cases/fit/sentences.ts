/** What a fit comes to, in sentences: the same at the terminal and on the page. */
import { countOf, signed } from "../../wording/figures.ts"
import { type Fit, fewCases } from "./fit.ts"
import type { NumberChange } from "./patch.ts"
import { FEWEST, type Validation } from "./validate.ts"

/** `where`: how the author's numbers are given more weight here. */
export function verdictText({ verdict }: Validation, where = ""): string {
  if (verdict === "helps") return "It helps."
  return verdict === "harms"
    ? `It harms: keep the numbers as they are, or give the author's more weight${where}.`
    : "The cases cannot tell whether it helps."
}

export function lossText({ difference, low, high, cases }: Validation): string {
  return `The log loss changes by ${signed(difference, 3)} (95 % interval ${signed(low, 3)} to ${signed(high, 3)}; less is better), over ${countOf(cases, "case")}.`
}

export function leftOutText({ ruledOut }: Validation): string {
  return `${countOf(ruledOut, "case")} left out: a rule or a certain \`shows\` rules out what was confirmed.`
}

export function untoldText({ cases, unused }: Fit): string {
  return `Whether it helps is not known: that takes ${FEWEST} cases with a confirmed fault that is not ruled out, and there are ${cases - unused}.`
}

export function unusedText({ unused }: Fit): string {
  return `${countOf(unused, "case")} without a confirmed fault: not used`
}

/** How many cases speak for a number: those that confirmed the fault, or in which it was looked at. */
function speaking({ kind, seen }: NumberChange): number {
  return kind === "odds" ? seen.count : seen.of
}

export const isFew = (change: NumberChange) => speaking(change) < fewCases
