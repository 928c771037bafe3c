/** The report of a replay as one page that stands alone: no script, nothing loaded. */
import { grouped } from "../../wording/figures.ts"
import { escaped } from "./escape-html.ts"
import { endingsPlot, reliabilityPlot, sharesPlot } from "./plots.ts"
import type { Report } from "./report.ts"
import {
  type Figure,
  headline,
  remarks,
  reportSections,
  type Section,
  type SectionTable,
} from "./sections.ts"

const STYLE = `
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
  return `<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${escaped(name)} ${escaped(version)}: recorded cases</title>
<style>${STYLE}</style>
<h1>${escaped(name)} ${escaped(version)}</h1>
<p>${worded(`${headline(report)}.`)}</p>
${remarks(report)
  .map((text) => `<p class="dim">${worded(text)}</p>`)
  .join("\n")}
<p class="dim"><code>${escaped(source)}</code></p>
${reportSections(report).map(sectionHtml).join("\n")}
</html>
`
}

/** Names in backticks become code. */
function worded(text: string): string {
  return escaped(text).replace(/`([^`]*)`/g, "<code>$1</code>")
}

function sectionHtml({ title, figure, table, notes }: Section): string {
  return [
    `<h2>${worded(title)}</h2>`,
    ...(figure ? [plot(figure)] : []),
    ...(table ? [tableHtml(table)] : []),
    ...notes.map((text) => `<p class="dim">${worded(text)}</p>`),
  ].join("\n")
}

function plot(figure: Figure): string {
  if (figure.kind === "shares") return sharesPlot(figure)
  return figure.kind === "endings" ? endingsPlot(figure) : reliabilityPlot(figure)
}

function tableHtml({ head, rows, figures, of = rows.length }: SectionTable): string {
  const cell = (tag: string) => (text: string, i: number) =>
    `<${tag}${figures.includes(i) ? ' class="n"' : ""}>${worded(text)}</${tag}>`
  const body = rows.map((row) => `<tr>${row.map(cell("td")).join("")}</tr>`).join("\n")
  const more = of - rows.length
  return [
    `<div class="wide"><table><thead><tr>${head.map(cell("th")).join("")}</tr></thead><tbody>\n${body}\n</tbody></table></div>`,
    ...(more > 0 ? [`<p class="dim">and ${grouped(more)} more.</p>`] : []),
  ].join("\n")
}
