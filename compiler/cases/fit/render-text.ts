/** What a fit has to say beside its patch, as plain text. */

import { countOf, fixedPercent } from "../../wording/figures.ts"
import { causeText } from "../report/sections.ts"
import { table } from "../report/text-table.ts"
import { type Contradiction, FEW_CASES, type Fit } from "./fit.ts"
import {
  examplesText,
  leftOutText,
  lossText,
  partsText,
  tieText,
  untoldText,
  unusedTexts,
  usedCases,
  verdictText,
} from "./sentences.ts"

const MOST = 20

export function renderFit(fit: Fit): string {
  const sections = [head(fit), validation(fit), ties(fit), few(fit), contradicted(fit)]
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join("\n"))
    .join("\n\n")}\n`
}

function head(fit: Fit): string[] {
  const { changes, weight } = fit
  return [
    `${countOf(changes.length, "number")} changed by ${countOf(usedCases(fit), "case")}; the author's count as ${countOf(weight, "case")} each`,
    ...unusedTexts(fit).map((text) => `  ${text}`),
  ]
}

function validation(fit: Fit): string[] {
  const { validation } = fit
  if (!validation) return [untoldText(fit)]
  const { author, fitted, folds, ruledOut } = validation
  return [
    ...table([
      [`On cases not fitted to (${partsText(folds)})`, "author", "fitted"],
      ["  log loss of what was confirmed", author.logLoss.toFixed(3), fitted.logLoss.toFixed(3)],
      ["  what was confirmed is likeliest", fixedPercent(author.accuracy), fixedPercent(fitted.accuracy)],
    ]),
    `${verdictText(validation, " with --weight")} ${lossText(validation)}`,
    ...(ruledOut > 0 ? [leftOutText(validation)] : []),
  ]
}

function ties({ ties }: Fit): string[] {
  if (ties.length === 0) return []
  const more = ties.length - MOST
  return [
    "What these cases can't tell",
    ...ties.slice(0, MOST).map((tie) => `  ${tieText(tie)}.`),
    ...(more > 0 ? [`  and ${more} more, see --json`] : []),
  ]
}

function few({ few, cases }: Fit): string[] {
  if (few.length === 0 || cases === 0) return []
  const names = few.slice(0, MOST).map(({ fault, cases }) => `\`${fault}\` ${cases}`)
  const more = few.length > MOST ? ` and ${few.length - MOST} more` : ""
  return [
    `Too few cases: fewer than ${FEW_CASES} confirmed ${countOf(few.length, "fault")}, whose numbers stay close to the author's`,
    `  ${names.join(", ")}${more}`,
  ]
}

function contradicted({ contradicted }: Fit): string[] {
  if (contradicted.length === 0) return []
  const row = (each: Contradiction) => [
    `  ${each.count} of ${each.of}`,
    `\`${each.fault}\``,
    each.found,
    causeText(each),
    examplesText(each),
  ]
  const more = contradicted.length - MOST
  return [
    "Cases contradict what is written as always or never true. None of it is changed: check each",
    ...table([
      ["  cases", "fault", "found", "against", "for example"],
      ...contradicted.slice(0, MOST).map(row),
    ]),
    ...(more > 0 ? [`  and ${more} more, see --json`] : []),
  ]
}
