/** What a fit has to say beside its patch, as plain text. */

import { countOf, fixedPercent } from "../../wording/figures.ts"
import { table } from "../report/text-table.ts"
import { type Contradiction, type Fit, fewCases } from "./fit.ts"
import { leftOutText, lossText, untoldText, unusedText, verdictText } from "./sentences.ts"

const most = 20

export function renderFit(fit: Fit): string {
  const sections = [head(fit), validation(fit), few(fit), contradicted(fit)]
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join("\n"))
    .join("\n\n")}\n`
}

function head(fit: Fit): string[] {
  const { cases, unused, changes, weight } = fit
  return [
    `${countOf(changes.length, "number")} changed by ${countOf(cases - unused, "case")}; the author's count as ${countOf(weight, "case")} each`,
    ...(unused > 0 ? [`  ${unusedText(fit)}`] : []),
  ]
}

function validation(fit: Fit): string[] {
  const { validation } = fit
  if (!validation) return [untoldText(fit)]
  const { author, fitted, folds, ruledOut } = validation
  return [
    ...table([
      [`On cases not fitted to (${folds} parts)`, "author", "fitted"],
      ["  log loss of the confirmed fault", author.logLoss.toFixed(3), fitted.logLoss.toFixed(3)],
      ["  likeliest fault right", fixedPercent(author.accuracy), fixedPercent(fitted.accuracy)],
    ]),
    `${verdictText(validation, " with --weight")} ${lossText(validation)}`,
    ...(ruledOut > 0 ? [leftOutText(validation)] : []),
  ]
}

function few({ few, cases }: Fit): string[] {
  if (few.length === 0 || cases === 0) return []
  const names = few.slice(0, most).map(({ fault, cases }) => `\`${fault}\` ${cases}`)
  const more = few.length > most ? ` and ${few.length - most} more` : ""
  return [
    `Too few cases: fewer than ${fewCases} confirmed ${countOf(few.length, "fault")}, whose numbers stay near the author's`,
    `  ${names.join(", ")}${more}`,
  ]
}

function contradicted({ contradicted }: Fit): string[] {
  if (contradicted.length === 0) return []
  const row = ({ cause, name, because, at, fault, found, ids, of }: Contradiction) => [
    `  ${ids.length} of ${of}`,
    `\`${fault}\``,
    found,
    cause === "rule"
      ? `rule ${name === undefined ? "" : `\`${name}\` `}at line ${at}${because === undefined ? "" : `: “${because}”`}`
      : cause === "shows"
        ? "never shown by this fault"
        : cause === "look"
          ? "cannot be with this fault"
          : "said never to occur together",
    `${ids.slice(0, 3).join(", ")}${ids.length > 3 ? ", …" : ""}`,
  ]
  const more = contradicted.length - most
  return [
    "Cases contradict what is written as always or never so. Nothing of it is changed: look at each",
    ...table([
      ["  cases", "fault", "found", "against", "for example"],
      ...contradicted.slice(0, most).map(row),
    ]),
    ...(more > 0 ? [`  and ${more} more, see --json`] : []),
  ]
}
