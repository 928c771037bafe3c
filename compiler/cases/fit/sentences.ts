/** What a fit comes to, in sentences: the same at the terminal and on the page. */
import { countOf, signed } from "../../wording/figures.ts"
import { listed } from "../../wording/sentence.ts"
import { type Contradiction, FEW_CASES, type Fit } from "./fit.ts"
import type { Tie } from "./information.ts"
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

/** How the cases that were not fitted to were chosen. */
export function partsText(folds: number): string {
  return folds === 1 ? "one part kept back" : `${folds} parts`
}

export function leftOutText({ ruledOut }: Validation): string {
  return `${countOf(ruledOut, "case")} left out: a rule or a certain \`shows\` rules out what was confirmed.`
}

export function untoldText(fit: Fit): string {
  return `Whether it helps isn't known: that takes ${FEWEST} cases whose confirmed fault isn't ruled out, and fewer of the ${countOf(usedCases(fit), "case")} used are such.`
}

export const usedCases = ({ cases, unused, unconfirmed }: Fit) => cases - unused - unconfirmed

/** Of the cases that are not used, why. */
export function unusedTexts({ unused, unconfirmed }: Fit): string[] {
  const texts = unused > 0 ? [`${countOf(unused, "case")} without a confirmed fault: not used`] : []
  if (unconfirmed > 0)
    texts.push(
      `${countOf(unconfirmed, "case")} with a fault, but without \`confirmed\`: not used. A fault that is only what the plan ended with teaches what the plan thought`,
    )
  return texts
}

/** What each number is, of the name that it stands with. */
const numberTexts: Record<NumberChange["kind"], (name: string) => string> = {
  second: () => "`second fault`",
  unlisted: () => "`unlisted`",
  odds: (name) => `odds of \`${name}\``,
  shows: (name) => `how \`${name.replace(" on ", "` shows on `")}\``,
  normally: (name) => `\`${name}\` on a healthy machine`,
  recurs: (name) => `how often \`${name}\` shows in one try`,
  trust: (name) => `trust in the answer to \`${name}\``,
  eased: (name) => `how often redoing it eases: \`${name.replace(" by ", "` by `")}\``,
  rule: (name) =>
    name.startsWith("line ") ? `trust in the rule in ${name}` : `trust in the rule \`${name}\``,
  cures: (name) => `how often redoing cures: \`${name.replace(" in ", "` in `")}\``,
}

export function numberText({ kind, name }: Pick<NumberChange, "kind" | "name">): string {
  return numberTexts[kind](name)
}

export function tieText(tie: Tie): string {
  const names = listed(tie.map(numberText))
  return tie.length > 1
    ? `${names}: these cases tell only what they come to together. How it is divided stays near the author's`
    : `${names}: these cases tell next to nothing of it`
}

/** The first of the cases that contradict. */
export function examplesText({ count, ids }: Contradiction): string {
  return `${ids.slice(0, 3).join(", ")}${count > 3 ? ", …" : ""}`
}

/** How many cases speak for a number: those that confirmed the fault, or in which it was looked at. */
function speaking({ kind, seen }: NumberChange): number {
  return kind === "odds" ? seen.count : seen.of
}

export const isFew = (change: NumberChange) => speaking(change) < FEW_CASES
