/** The ruleset with counts beside it: how often a replay used each rule and test, and confirmed each fault. */

import { usesOf } from "../../cases/report/line-uses.ts"
import type { Report } from "../../cases/report/report.ts"
import type { Compiled } from "../../compile.ts"
import type { Span } from "../../diagnostics/diagnostic.ts"
import { Lines, lineAndColumn } from "../../diagnostics/line-index.ts"
import type { Model } from "../../model/model.ts"
import { grouped } from "../../wording/figures.ts"
import { plain, type Style, style } from "../io/terminal.ts"

/** All files of the ruleset, in the order of use; counts are beside the first line of a declaration. */
export function lineUsesText({ model, sources }: Compiled, report: Report, color: boolean): string {
  if (!model) return ""
  const counts = countsByLine(model, sources, report)
  const out: string[] = ["", "Cases beside each rule (used), test (done) and fault (confirmed):"]
  for (const [file, text] of sources) {
    const lines = counts.get(file)
    if (lines) out.push(...fileLines(file, new Lines(text), lines, style(color)))
  }
  return `${out.join("\n")}\n`
}

/** By file and line (from 1): how many cases used what is declared there. */
function countsByLine(
  model: Model,
  sources: ReadonlyMap<string, string>,
  report: Report,
): Map<string, Map<number, number>> {
  const counts = new Map<string, Map<number, number>>()
  const spans = (declared: readonly { readonly span: Span }[]) => declared.map(({ span }) => span)
  const places = { rules: spans(model.rules), tests: spans(model.tests), faults: spans(model.faults) }
  for (const { span, cases } of usesOf(report, places)) {
    const { line } = lineAndColumn(sources.get(span.file) ?? "", span.start)
    const lines = counts.get(span.file) ?? new Map<number, number>()
    counts.set(span.file, lines.set(line, (lines.get(line) ?? 0) + cases))
  }
  return counts
}

function fileLines(file: string, lines: Lines, counts: ReadonlyMap<number, number>, paint: Style): string[] {
  const width = Math.max(5, ...[...counts.values()].map((n) => grouped(n).length))
  const last = lines.bounds(lines.count)
  const shown = last.start === last.end ? lines.count - 1 : lines.count
  const rows = Array.from({ length: shown }, (_, i) => {
    const { start, end } = lines.bounds(i + 1)
    const times = counts.get(i + 1)
    const row = `${(times === undefined ? "" : grouped(times)).padStart(width)} | ${lines.text.slice(start, end)}`
    if (times === undefined) return paint.dim(row)
    return times === 0 ? paint.bad(row) : plain(row)
  })
  return ["", paint.bold(file), ...rows]
}
