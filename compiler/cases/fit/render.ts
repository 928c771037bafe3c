/** What a fit has to say beside its patch, as plain text. */
import { countOf, percent, signed, table } from "../table.ts"
import { type Contradiction, type Fit, fewCases } from "./fit.ts"
import { fewest, type Validation } from "./validate.ts"

const most = 20

export function renderFit(fit: Fit): string {
  const sections = [head(fit), validation(fit), few(fit), contradicted(fit)]
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join("\n"))
    .join("\n\n")}\n`
}

function head({ cases, unused, changes, weight }: Fit): string[] {
  const lines = [
    `${countOf(changes.length, "number")} changed by ${countOf(cases - unused, "case")}; the author's count as ${countOf(weight, "case")} each`,
  ]
  if (unused > 0) lines.push(`  ${unused} more without a confirmed fault that the ruleset lists: not used`)
  return lines
}

function validation({ validation, cases, unused }: Fit): string[] {
  if (!validation)
    return [
      `Whether it helps cannot be said: that takes ${fewest} cases with a confirmed fault that is not ruled out, and there are ${cases - unused}.`,
    ]
  const { author, fitted, difference, low, high, folds, ruledOut } = validation
  return [
    ...table([
      [`On cases not fitted to (${folds} parts)`, "author", "fitted"],
      ["  log loss of the confirmed fault", author.logLoss.toFixed(3), fitted.logLoss.toFixed(3)],
      ["  likeliest fault right", percent(author.accuracy), percent(fitted.accuracy)],
    ]),
    `${verdict(validation)} The log loss changes by ${signed(difference, 3)} (95 % interval ${signed(low, 3)} to ${signed(high, 3)}; less is better), over ${countOf(validation.cases, "case")}.`,
    ...(ruledOut > 0
      ? [`${countOf(ruledOut, "case")} left out: a rule or a hard \`shows\` rules the confirmed fault out.`]
      : []),
  ]
}

function verdict({ verdict }: Validation): string {
  if (verdict === "helps") return "It helps."
  return verdict === "harms"
    ? "It harms: leave the numbers as they are, or let the author's count for more with --weight."
    : "Whether it helps cannot be told."
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
