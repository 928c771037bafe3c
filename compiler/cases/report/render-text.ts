/** The report of a replay as plain text, for people. */

import { countOf, fixedPercent, signed } from "../../wording/figures.ts"
import type { Calibration } from "../stats/brier.ts"
import type { Paired } from "../stats/paired-means.ts"
import type { Share } from "../stats/wilson.ts"
import type { Mistake, Noted, Report } from "./report.ts"
import { shareCells, table, wayOf } from "./text-table.ts"

/** Lists are cut after this many lines; the JSON has more. */
const most = 20

export function renderReport(report: Report): string {
  const sections = [
    head(report),
    verdicts(report),
    spent(report),
    calibration(report.calibration),
    noted(report),
    mistakes(report),
    perFault(report),
    coverage(report),
  ]
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join("\n"))
    .join("\n\n")}\n`
}

function head({ ruleset, cases, cameBack, unconfirmed, unlisted }: Report): string[] {
  const lines = [`${countOf(cases, "case")} walked through ${ruleset.name} ${ruleset.version}`]
  if (cameBack > 0) lines.push(`  ${cameBack} came back`)
  if (unconfirmed > 0)
    lines.push(`  ${unconfirmed} without a confirmed fault: left out of all figures but coverage`)
  if (unlisted > 0)
    lines.push(`  ${unlisted} with a fault that the ruleset does not list: only handing over is right`)
  return lines
}

function verdicts(report: Report): string[] {
  const { remedy, right, inCandidates, wrong, handover, open } = report.verdicts
  if (open.of === 0) return []
  const lines = table([
    ["Decided", `${open.of - open.count} of ${open.of}`, "", "95 % interval (Wilson)"],
    ["  right remedy", ...shareCells(remedy)],
    ["    and the right fault named", ...shareCells(right)],
    ["  wrong", ...shareCells(wrong)],
    ["  handed over", ...shareCells(handover)],
    ["  true fault in the candidates", ...shareCells(inCandidates)],
    ["Open: not in the record", ...shareCells(open)],
  ])
  if (report.wrongButCandidate > 0)
    lines.push(`Of the wrong ones ${report.wrongButCandidate} still had the true fault among the candidates.`)
  if (report.handoverWithCandidate > 0)
    lines.push(
      `Of those handed over ${report.handoverWithCandidate} had the true fault among the candidates.`,
    )
  if (open.count > 0) lines.push(...carriedOn(report))
  const { cases, steps } = report.inferred
  if (steps > 0)
    lines.push(
      `${countOf(steps, "step")} in ${countOf(cases, "case")} inferred: what came of them follows surely from the confirmed fault.`,
    )
  if (report.advised > 0)
    lines.push(`${countOf(report.advised, "case")} went on from the model where the graph does not plan.`)
  return lines
}

/** Decided cases are those whose technician went the graph's way: the open ones must be told beside them. */
function carriedOn({ openEnds, verdicts: { open, remedy, wrong, handover } }: Report): string[] {
  const end = (share: Share, chance: number, words: string) =>
    `${((share.count + chance) / (open.of / 100)).toFixed(1)} % ${words}`
  const rest = openEnds.unfollowed / (open.of / 100)
  const ends = [
    end(remedy, openEnds.remedy, "right remedy"),
    end(wrong, openEnds.wrong, "wrong"),
    end(handover, openEnds.handover, "handed over"),
    ...(rest >= 0.05 ? [`${rest.toFixed(1)} % not followed`] : []),
  ]
  return [`Open cases carried on by the chances, of all ${open.of}: ${ends.join(", ")}.`]
}

function spent({ minutes, work, total, money }: Report): string[] {
  if (!total) return []
  const rows = [["Per job", "graph", "record", "difference", "95 % interval"]]
  if (minutes) rows.push(["  minutes, with a verdict", ...paired(minutes)])
  if (work) rows.push([`  work in ${money}, with a verdict`, ...paired(work)])
  rows.push([`  ${money} with what mistakes cost`, ...paired(total)])
  const ways = new Set([minutes, work, total].flatMap((each) => (each ? [each.method] : [])))
  return [
    ...table(rows),
    `Over ${countOf(minutes?.cases ?? 0, "case")} with a verdict, ${total.cases} decided; intervals of the mean difference: ${[...ways].map(wayOf).join(", ")}.`,
  ]
}

function calibration(calibration: Calibration | undefined): string[] {
  if (!calibration) return []
  const rows = calibration.bins.map(({ from, to, said, held }) => [
    `  ${fixedPercent(from, 0)} to ${fixedPercent(to, 0)}`,
    fixedPercent(said),
    ...shareCells(held),
  ])
  return [
    ...table([["Chance of the verdict", "said", "held", "", "95 % interval"], ...rows]),
    `Brier score ${calibration.score.toFixed(4)} (0 perfect, 2 worst, both classes summed), over all faults ${calibration.faults.toFixed(4)}.`,
  ]
}

function noted({ noted, notedInAll }: Report): string[] {
  if (notedInAll === 0) return []
  const row = ({ id, line, cameBack, fault, ending, says }: Noted) => [
    `  ${id}`,
    `line ${line}`,
    `${cameBack ? "came back, " : ""}${ending === "handover" ? "handed over" : ending}`,
    fault && `was \`${fault}\``,
    says,
  ]
  return ["Cases to look at", ...table(noted.slice(0, most).map(row)), ...more(notedInAll)]
}

function mistakes({ mistakes, mistakesInAll, ruleset }: Report): string[] {
  if (mistakesInAll === 0) return []
  const row = (each: Mistake) => [
    `  ${each.id}`,
    `line ${each.line}`,
    each.cameBack ? "came back" : "",
    each.onWalk ? "on the walk" : "in the record",
    `was \`${each.fault}\``,
    each.found,
    cause(each),
  ]
  return [
    `What ruled out the confirmed fault: a mistake of ${ruleset.name}, or of the bench`,
    ...table(mistakes.slice(0, most).map(row)),
    ...more(mistakesInAll),
  ]
}

function cause({ cause, name, because, at }: Mistake): string {
  if (cause === "rule")
    return `rule ${name ? `\`${name}\` ` : ""}at line ${at}${because ? `: “${because}”` : ""}`
  if (cause === "shows") return `never shown by this fault`
  return cause === "look" ? "cannot be with this fault" : "said never to occur together"
}

function perFault({ faults }: Report): string[] {
  const seen = faults.filter(({ cases }) => cases > 0).sort((a, b) => b.cases - a.cases)
  if (seen.length === 0) return []
  const rows = seen.map(({ name, cases, remedy, wrong, handover, open }) =>
    [`  ${name}`, cases, remedy, wrong, handover, open].map(String),
  )
  const unseen = faults.length - seen.length
  return [
    ...table([["Confirmed fault", "cases", "right remedy", "wrong", "handed over", "open"], ...rows]),
    ...(unseen > 0 ? [`  ${countOf(unseen, "fault")} of ${faults.length} never confirmed in a case`] : []),
  ]
}

function coverage({ rules, tests, branches }: Report): string[] {
  const idle = rules.filter(({ used }) => used === 0)
  const undone = tests.filter(({ used }) => used === 0)
  const lines = [
    "Never exercised",
    `  ${idle.length} of ${countOf(rules.length, "rule")}${idle.length > 0 ? `: ${idle.map(({ name, line }) => (name ? `\`${name}\` (line ${line})` : `line ${line}`)).join(", ")}` : ""}`,
    `  ${undone.length} of ${countOf(tests.length, "test")}${undone.length > 0 ? `: ${undone.map(({ name }) => `\`${name}\``).join(", ")}` : ""}`,
    `  ${branches.idleInAll} of ${countOf(branches.of, "branch", "branches")}${branches.idleInAll > 0 ? ", the likeliest of them:" : ""}`,
  ]
  const rows = branches.idle
    .slice(0, 8)
    .map(({ chance, step, found }) => [`    ${fixedPercent(chance)}`, step, found])
  return [...lines, ...table(rows)]
}

function paired({ cases, walked, recorded, difference, low, high }: Paired): string[] {
  const interval = cases < 2 ? "" : `${signed(low)} to ${signed(high)}`
  return [walked.toFixed(1), recorded.toFixed(1), signed(difference), interval]
}

function more(all: number): string[] {
  return all > most ? [`  and ${all - most} more, see --json`] : []
}
