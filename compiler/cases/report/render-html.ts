/** The report of a replay as one page that stands alone: no script, nothing loaded. */

import { countOf, fixedPercent, signed } from "../../wording/figures.ts"
import type { Paired } from "../stats/paired-means.ts"
import type { Share } from "../stats/wilson.ts"
import { escaped } from "./escape-html.ts"
import { type Bar, bars, reliabilityPlot, stacks } from "./plots.ts"
import type { Mistake, Noted, Report } from "./report.ts"
import { wayOf } from "./text-table.ts"

/** More rows than this nobody reads on a page; the JSON has more. */
const most = 200

const style = `
:root { color-scheme: light dark; --ink: #1d2327; --dim: #5d666d; --line: #d5dadd; --page: #fff; --good: #2c7a51; --bad: #b3402f; --wait: #b98a2b; --part: #8a949b }
@media (prefers-color-scheme: dark) { :root { --ink: #e6e9eb; --dim: #9aa4ab; --line: #3a4248; --page: #15191c; --good: #58b287; --bad: #e0776a; --wait: #d9ad55; --part: #6d777e } }
body { margin: 2rem auto; max-width: 62rem; padding: 0 1rem; background: var(--page); color: var(--ink); font: 16px/1.5 system-ui, sans-serif }
h1 { font-size: 1.5rem; margin: 0 } h2 { font-size: 1.1rem; margin: 2.2rem 0 .5rem } p { margin: .4rem 0; max-width: 46rem } .dim { color: var(--dim) }
table { border-collapse: collapse; font-size: .875rem; width: 100% } th, td { text-align: left; padding: .25rem .75rem .25rem 0; border-bottom: 1px solid var(--line); vertical-align: top }
th { color: var(--dim); font-weight: 500 } td.n, th.n { text-align: right; font-variant-numeric: tabular-nums } .wide { overflow-x: auto }
svg { max-width: 100%; height: auto; display: block } svg text { fill: var(--ink); font: 13px system-ui, sans-serif } svg .dim { fill: var(--dim) } svg .axis { stroke: var(--line) } svg .reach { stroke: var(--ink) }
.good { fill: var(--good) } .bad { fill: var(--bad) } .wait { fill: var(--wait) } .part { fill: var(--part) } code { font-family: ui-monospace, monospace; font-size: .9em }
`

/** The text of a page (HTML, with its plots as SVG). Everything from cases and ruleset is escaped. */
export function reportPage(report: Report): string {
  const { name, version, source } = report.ruleset
  const sections = [
    verdicts(report),
    spent(report),
    calibration(report),
    noted(report),
    mistakes(report),
    faults(report),
    coverage(report),
  ]
  return `<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${escaped(name)} ${escaped(version)}: recorded cases</title>
<style>${style}</style>
<h1>${escaped(name)} ${escaped(version)}</h1>
<p>${countOf(report.cases, "case")} walked${notes(report)}</p>
<p class="dim"><code>${escaped(source)}</code></p>
${sections.filter((text) => text !== "").join("\n")}
</html>
`
}

/** Names in backticks become code. */
function worded(text: string): string {
  return escaped(text).replace(/`([^`]*)`/g, "<code>$1</code>")
}

function notes({ cameBack, unconfirmed, unlisted, inferred, advised }: Report): string {
  const all = [
    cameBack > 0 ? `${cameBack} came back` : "",
    unconfirmed > 0 ? `${unconfirmed} without a confirmed fault, counted for coverage only` : "",
    unlisted > 0 ? `${unlisted} with a fault that is not listed: only handing over is right` : "",
    inferred.steps > 0
      ? `${countOf(inferred.steps, "step")} in ${countOf(inferred.cases, "case")} inferred from the confirmed fault`
      : "",
    advised > 0 ? `${advised} went on from the model where the graph does not plan` : "",
  ].filter((text) => text !== "")
  return all.length > 0 ? `; ${all.join("; ")}.` : "."
}

function section(title: string, ...body: readonly string[]): string {
  return `<h2>${title}</h2>\n${body.join("\n")}`
}

function verdicts({ verdicts: all, wrongButCandidate, handoverWithCandidate }: Report): string {
  if (all.open.of === 0) return ""
  const bar = (label: string, share: Share, tone: Bar["tone"]): Bar => ({ label, share, tone })
  const kept = [
    wrongButCandidate > 0
      ? `Of the wrong ones ${wrongButCandidate} still had the true fault among the candidates.`
      : "",
    handoverWithCandidate > 0
      ? `Of those handed over ${handoverWithCandidate} had the true fault among the candidates.`
      : "",
  ]
  return section(
    "Verdicts",
    bars([
      bar("right remedy", all.remedy, "good"),
      bar("and the right fault named", all.right, "good"),
      bar("true fault in the candidates", all.inCandidates, "part"),
      bar("wrong", all.wrong, "bad"),
      bar("handed over", all.handover, "wait"),
      bar("open: not in the record", all.open, "part"),
    ]),
    `<p class="dim">Lines: 95 % intervals (Wilson). Open cases are out of all, the others out of those that came to an end. ${kept.join(" ")}</p>`,
  )
}

function spent({ minutes, work, total, money }: Report): string {
  if (!total) return ""
  const row = (label: string, paired: Paired | undefined) =>
    paired
      ? [
          label,
          paired.recorded.toFixed(1),
          paired.walked.toFixed(1),
          signed(paired.difference),
          paired.cases < 2 ? "" : `${signed(paired.low)} to ${signed(paired.high)}`,
          `${paired.cases}`,
        ]
      : []
  const rows = [
    row("minutes, with a verdict", minutes),
    row(`work in ${money}, with a verdict`, work),
    row(`${money} with what mistakes cost`, total),
  ].filter((cells) => cells.length > 0)
  return section(
    "Minutes and money per job",
    table(["", "record", "graph", "difference", "95 % interval", "cases"], rows, [1, 2, 3, 5]),
    `<p class="dim">Intervals of the mean difference: ${wayOf(total.method)}.</p>`,
  )
}

function calibration({ calibration }: Report): string {
  if (!calibration) return ""
  return section(
    "Were the chances right?",
    reliabilityPlot(calibration),
    `<p class="dim">Each point: verdicts of about the same chance, and how many of them held, with its 95 % interval. On the line the chances are honest. Brier score ${calibration.score.toFixed(4)} (0 perfect, 2 worst), over all faults ${calibration.faults.toFixed(4)}.</p>`,
  )
}

function noted({ noted, notedInAll }: Report): string {
  if (notedInAll === 0) return ""
  const row = ({ id, line, cameBack, fault, ending, says }: Noted) => [
    escaped(id),
    `${line}`,
    cameBack ? "came back" : "",
    ending === "handover" ? "handed over" : ending,
    fault && `<code>${escaped(fault)}</code>`,
    worded(says),
  ]
  return section(
    "Cases to look at",
    table(["case", "line", "", "ended", "was", "the graph says"], noted.slice(0, most).map(row), [1]),
    more(notedInAll),
  )
}

function mistakes({ mistakes, mistakesInAll }: Report): string {
  if (mistakesInAll === 0) return ""
  const row = (each: Mistake) => [
    escaped(each.id),
    `${each.line}`,
    each.cameBack ? "came back" : "",
    `<code>${escaped(each.fault)}</code>`,
    worded(each.found),
    causeOf(each),
  ]
  return section(
    "What ruled out the confirmed fault",
    "<p>A mistake of the ruleset, or of the bench.</p>",
    table(["case", "line", "", "was", "found", "against"], mistakes.slice(0, most).map(row), [1]),
    more(mistakesInAll),
  )
}

function causeOf({ cause, name, because, at }: Mistake): string {
  if (cause === "rule")
    return `rule ${name ? `<code>${escaped(name)}</code> ` : ""}at line ${at}${because ? `: “${escaped(because)}”` : ""}`
  if (cause === "shows") return "never shown by this fault"
  return cause === "look" ? "cannot be with this fault" : "said never to occur together"
}

function faults({ faults }: Report): string {
  const seen = faults.filter(({ cases }) => cases > 0).sort((a, b) => b.cases - a.cases)
  if (seen.length === 0) return ""
  const unseen = faults.filter(({ cases }) => cases === 0)
  return section(
    "By confirmed fault",
    stacks(
      seen.map(({ name, cases, remedy, wrong, handover, open }) => ({
        label: name,
        of: cases,
        parts: [
          { count: remedy, tone: "good" },
          { count: wrong, tone: "bad" },
          { count: handover, tone: "wait" },
          { count: open, tone: "part" },
        ],
      })),
    ),
    `<p class="dim">Right remedy, wrong, handed over, open.${unseen.length > 0 ? ` Never confirmed in a case: ${unseen.map(({ name }) => `<code>${escaped(name)}</code>`).join(", ")}.` : ""}</p>`,
  )
}

function coverage({ rules, tests, branches }: Report): string {
  const named = ({ name, line }: { name?: string; line: number }) =>
    name ? `<code>${escaped(name)}</code> (line ${line})` : `line ${line}`
  const idle = rules.filter(({ used }) => used === 0)
  const undone = tests.filter(({ used }) => used === 0)
  const list = (all: readonly string[]) => (all.length > 0 ? `: ${all.join(", ")}` : "")
  const used = rules
    .filter(({ used }) => used > 0)
    .sort((a, b) => b.used - a.used)
    .map((rule) => [named(rule), escaped(rule.because ?? ""), rule.used.toLocaleString("en")])
  return section(
    "What the cases exercised",
    `<p>${idle.length} of ${countOf(rules.length, "rule")} never used${list(idle.map(named))}.</p>`,
    `<p>${undone.length} of ${countOf(tests.length, "test")} never done${list(undone.map(({ name }) => `<code>${escaped(name)}</code>`))}.</p>`,
    `<p>${branches.idleInAll} of ${countOf(branches.of, "branch", "branches")} never taken${branches.idle.length > 0 ? ", the likeliest of them:" : "."}</p>`,
    table(
      ["chance", "step", "found"],
      branches.idle
        .slice(0, 10)
        .map(({ chance, step, found }) => [fixedPercent(chance), worded(step), worded(found)]),
      [0],
    ),
    used.length > 0 ? `<h2>Rules used</h2>${table(["rule", "because", "cases"], used, [2])}` : "",
  )
}

/** `figures`: columns set to the right. Cells are HTML. */
function table(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  figures: readonly number[] = [],
): string {
  if (rows.length === 0) return ""
  const cell = (tag: string) => (text: string, i: number) =>
    `<${tag}${figures.includes(i) ? ' class="n"' : ""}>${text}</${tag}>`
  const body = rows.map((row) => `<tr>${row.map(cell("td")).join("")}</tr>`).join("\n")
  return `<div class="wide"><table><thead><tr>${head.map(cell("th")).join("")}</tr></thead><tbody>\n${body}\n</tbody></table></div>`
}

function more(all: number): string {
  return all > most ? `<p class="dim">and ${(all - most).toLocaleString("en")} more.</p>` : ""
}
