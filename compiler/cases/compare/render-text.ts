/** A comparison as plain text, for whoever decides whether the new ruleset goes to the benches. */

import { countOf, fixedPercent, signed } from "../../wording/figures.ts"
import type { Mistake } from "../report/report.ts"
import { table, wayOf } from "../report/text-table.ts"
import type { Paired } from "../stats/paired-means.ts"
import { type Change, type ChangedCase, type Comparison, type Ground, level } from "./compare.ts"

/** Lists are cut after this many; the JSON has more. */
const most = 20

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

function head({ old, fresh, cases, compared, unconfirmed, open }: Comparison): string[] {
  const lines = [
    `Old: ${old.name} ${old.version}   New: ${fresh.name} ${fresh.version}`,
    `${compared} of ${countOf(cases, "case")} compared: both came to an end`,
  ]
  if (old.source === fresh.source) lines.push("  Both come from the same source.")
  if (unconfirmed > 0) lines.push(`  ${unconfirmed} without a confirmed fault: left out`)
  if (open.either > 0)
    lines.push(
      `  ${open.either} left out: the record does not have what was asked for (old ${open.old}, new ${open.fresh})`,
    )
  return lines
}

function figures({ right, wrong, minutes, work, total, money, compared }: Comparison): string[] {
  if (compared === 0) return []
  const rows = [
    ["Of the cases compared", "old", "new", "gained", "lost", "by chance alone"],
    ["  ended well", ...changeCells(right)],
    ["  wrong verdict", ...changeCells(wrong)],
  ]
  const amounts = [["Per case", "old", "new", "difference", "95 % interval"]]
  if (minutes) amounts.push(["  minutes", ...pairedCells(minutes)])
  if (work) amounts.push([`  work in ${money}`, ...pairedCells(work)])
  if (total) amounts.push([`  ${money} with what mistakes cost`, ...pairedCells(total)])
  return [
    ...table(rows),
    "Ended well: the right remedy, or handed over where the fault is not listed. By chance alone: exact McNemar test, two-sided.",
    "",
    ...table(amounts),
    ...(total
      ? [`Money at the rates of the new one; intervals of the mean difference: ${wayOf(total.method)}.`]
      : []),
  ]
}

function changeCells({ old, fresh, gained, lost, p }: Change): string[] {
  const chance = gained + lost === 0 ? "" : p < 0.001 ? "< 0.1 %" : fixedPercent(p)
  return [`${old.count}`, `${fresh.count}`, `${gained}`, `${lost}`, chance]
}

function pairedCells({ cases, walked, recorded, difference, low, high }: Paired): string[] {
  const interval = cases < 2 ? "" : `${signed(low)} to ${signed(high)}`
  return [recorded.toFixed(1), walked.toFixed(1), signed(difference), interval]
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
    .slice(0, most)
    .flatMap(({ id, line, cameBack, fault, old, fresh, causes }) => [
      `  ${id} (line ${line}${cameBack ? ", came back" : ""})${fault && `: was \`${fault}\``}`,
      `    old: ${old}`,
      `    new: ${fresh}`,
      ...causes.map((each) => `      since ${causeText(each)}`),
    ])
  const more = all.length - most
  return [`${titles[turn]} (${all.length})`, ...rows, ...(more > 0 ? [`  and ${more} more, see --json`] : [])]
}

function causeText({ cause, name, because, at, found }: Mistake): string {
  if (cause === "rule") {
    const reason = because === undefined ? "" : `: “${because}”`
    return `the rule ${name === undefined ? "" : `\`${name}\` `}at line ${at} rules it out on ${found}${reason}`
  }
  if (cause === "shows") return `the fault is said never to show that ${found}`
  if (cause === "never") return `a \`never\` forbids what was found, with ${found}`
  return `${found}, which cannot be with this fault`
}

const grounds: Readonly<Record<Ground, { readonly worse: string; readonly better: string }>> = {
  right: { worse: "fewer cases end well", better: "more cases end well" },
  wrong: { worse: "more verdicts are wrong", better: "fewer verdicts are wrong" },
  total: { worse: "a case costs more", better: "a case costs less" },
}

function conclusion({ judgement, compared, right, wrong, open, cases }: Comparison): string[] {
  if (compared === 0) return ["Nothing could be compared: no case has all that both ask for."]
  const list = (all: readonly Ground[], side: "worse" | "better") =>
    all.map((ground) => grounds[ground][side]).join(", and ")
  const lines: string[] = []
  if (judgement.is === "worse")
    lines.push(`Worse beyond chance: with the new one ${list(judgement.worse, "worse")}.`)
  if (judgement.better.length > 0)
    lines.push(
      `${judgement.is === "worse" ? "But also better" : "Better"} beyond chance: with the new one ${list(judgement.better, "better")}.`,
    )
  if (judgement.is === "even")
    lines.push(
      right.gained + right.lost + wrong.gained + wrong.lost === 0
        ? "No case ends better or worse."
        : `No difference beyond chance: as uneven a split would come by itself in more than ${fixedPercent(level, 0)} of such comparisons.`,
    )
  if (judgement.worse.includes("right") || right.lost > 0)
    lines.push("Next: go through the cases lost, above; where a rule is named, mend or bound that rule.")
  if (2 * open.either > cases)
    lines.push(
      "More than half of the cases were left out: have the benches record what the new one asks for.",
    )
  return lines
}
