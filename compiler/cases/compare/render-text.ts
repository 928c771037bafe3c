/** A comparison as plain text, for whoever decides whether the new ruleset goes to the benches. */

import { countOf, fixedPercent, rounded } from "../../wording/figures.ts"
import type { Mistake } from "../report/report.ts"
import { causeText, methodText, pairedCells } from "../report/sections.ts"
import { table } from "../report/text-table.ts"
import {
  type Change,
  type ChangedCase,
  type Comparison,
  type Criterion,
  isOfNothing,
  SIGNIFICANCE_LEVEL,
} from "./compare.ts"

/** Lists are cut after this many; the JSON has more. */
const MOST = 20

export function renderComparison(comparison: Comparison): string {
  const sections = [
    head(comparison),
    figures(comparison),
    ...(["lost", "gained", "other"] as const).map((turn) => changed(comparison, turn)),
    conclusion(comparison),
  ]
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join("\n"))
    .join("\n\n")}\n`
}

function head({ old, fresh, compared, unconfirmed, open, notFollowed }: Comparison): string[] {
  const lines = [
    `Old: ${old.name} ${old.version}   New: ${fresh.name} ${fresh.version}`,
    `${countOf(compared, "case")} compared; ${compared - open.either} end under both by what is recorded`,
  ]
  if (old.source === fresh.source) lines.push("  Both come from the same source.")
  if (unconfirmed > 0) lines.push(`  ${unconfirmed} without a confirmed fault: left out`)
  if (open.either > 0)
    lines.push(
      `  ${open.either} open, carried on by the chances that each ruleset gives: the record does not have what was asked for (old ${open.old}, new ${open.fresh})`,
      ...notFollowedTexts(notFollowed, compared),
    )
  return lines
}

function notFollowedTexts({ old, fresh }: Comparison["notFollowed"], of: number): string[] {
  if (Math.max(old, fresh) / of < 0.0005) return []
  return [
    `  ${fixedPercent(old / of)} (old) and ${fixedPercent(fresh / of)} (new) not followed to an end, as the plan leaves them to advice: counted as not ended well, and in all at the cost that the plan expects from there`,
  ]
}

function figures(comparison: Comparison): string[] {
  if (isOfNothing(comparison)) return []
  const { right, comesBack, inVain, minutes, spent, total, money } = comparison
  const rows = [
    ["Of all cases compared", "old", "new", "gained", "lost", "by chance alone"],
    ["  ended well", ...changeCells(right)],
    ["  come back", ...changeCells(comesBack)],
    ["  bought in vain", ...changeCells(inVain)],
  ]
  const amounts = [["Per case", "old", "new", "difference", "95 % interval"]]
  const add = (label: string, paired: Comparison["minutes"]) => {
    if (paired) amounts.push([`  ${label}`, ...pairedCells(paired).slice(0, 4)])
  }
  add("minutes of work", minutes)
  add(`${money} spent`, spent)
  add(`${money} with comebacks and handing over`, total)
  return [
    ...table(rows),
    "Ended well: fixed and closed, or handed over where what was wrong is not listed. By chance alone: exact McNemar test, two-sided.",
    "",
    ...table(amounts),
    ...(total
      ? [`Money at the rates of the new one; intervals of the mean difference: ${methodText(total)}.`]
      : []),
  ]
}

function changeCells({ old, fresh, gained, lost, p }: Change): string[] {
  const chance = gained + lost === 0 ? "" : p < 0.001 ? "< 0.1 %" : fixedPercent(p)
  return [...[old.count, fresh.count, gained, lost].map((count) => rounded(count)), chance]
}

const titles = {
  lost: "Ended well before and no longer do: look at these first",
  gained: "End well now and did not before",
  other: "End otherwise, of the same worth",
}

function changed({ changed }: Comparison, turn: ChangedCase["turn"]): string[] {
  const all = changed.filter((each) => each.turn === turn)
  if (all.length === 0) return []
  const rows = all
    .slice(0, MOST)
    .flatMap(({ id, line, cameBack, fault, old, fresh, causes }) => [
      `  ${id} (line ${line}${cameBack ? ", came back" : ""})${fault && `: was \`${fault}\``}`,
      `    old: ${old}`,
      `    new: ${fresh}`,
      ...causes.map((each) => `      now ${newCauseText(each)}`),
    ])
  const more = all.length - MOST
  return [`${titles[turn]} (${all.length})`, ...rows, ...(more > 0 ? [`  and ${more} more, see --json`] : [])]
}

/** A rule that is new here needs no line of its own: it is named with what it found. */
function newCauseText(mistake: Mistake): string {
  return `${mistake.found}: ${causeText(mistake)}`
}

/** What a judgement stands on, in words. */
export const criteria: Readonly<Record<Criterion, { readonly worse: string; readonly better: string }>> = {
  right: { worse: "fewer cases end well", better: "more cases end well" },
  comesBack: { worse: "more machines come back", better: "fewer machines come back" },
  inVain: { worse: "more cases buy a part in vain", better: "fewer cases buy a part in vain" },
  total: { worse: "a case costs more", better: "a case costs less" },
}

function conclusion(comparison: Comparison): string[] {
  const { judgement, compared, right, comesBack, open } = comparison
  if (compared === 0) return ["Nothing could be compared: no case has a confirmed fault."]
  if (isOfNothing(comparison))
    return [
      "Nothing could be compared: one of them follows no case, as it plans too little and no record has what it asks for.",
    ]
  const list = (all: readonly Criterion[], side: "worse" | "better") =>
    all.map((ground) => criteria[ground][side]).join(", and ")
  const lines: string[] = []
  if (judgement.is === "worse")
    lines.push(`Worse beyond chance: with the new one ${list(judgement.worse, "worse")}.`)
  if (judgement.better.length > 0)
    lines.push(
      `${judgement.is === "worse" ? "But also better" : "Better"} beyond chance: with the new one ${list(judgement.better, "better")}.`,
    )
  if (judgement.is === "even")
    lines.push(
      right.gained + right.lost + comesBack.gained + comesBack.lost === 0
        ? "No case ends better or worse."
        : `No difference beyond chance: as uneven a split would come by itself in more than ${fixedPercent(SIGNIFICANCE_LEVEL, 0)} of such comparisons.`,
    )
  if (judgement.worse.includes("right") || right.lost > 0)
    lines.push("Next: go through the cases lost, above. Where a rule is named, correct it or trust it less.")
  if (2 * open.either > compared)
    lines.push(
      "More than half of the cases are open, so much of this is the rulesets' own word: have the benches record what the new one asks for.",
    )
  return lines
}
