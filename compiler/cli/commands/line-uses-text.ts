/** The ruleset with counts beside it: how often a replay used each rule and test, and confirmed each fault. */

import { usesOf } from "../../cases/report/line-uses.ts"
import type { Report } from "../../cases/report/report.ts"
import type { Compiled } from "../../compile.ts"
import type { Span } from "../../diagnostics/diagnostic.ts"
import { lineAndColumn } from "../../diagnostics/render.ts"
import { grouped } from "../../wording/figures.ts"
import { plain, style } from "../io/terminal.ts"

/** All files of the ruleset, in the order of use; counts are beside the first line of a declaration. */
export function coverageText({ model, sources }: Compiled, report: Report, color: boolean): string {
  if (!model) return ""
  const paint = style(color)
  const counts = new Map<string, Map<number, number>>()
  const spans = (declared: readonly { readonly span: Span }[]) => declared.map(({ span }) => span)
  const places = { rules: spans(model.rules), tests: spans(model.tests), faults: spans(model.faults) }
  for (const { span, cases } of usesOf(report, places)) {
    const { line } = lineAndColumn(sources.get(span.file) ?? "", span.start)
    const lines = counts.get(span.file) ?? new Map<number, number>()
    counts.set(span.file, lines.set(line, (lines.get(line) ?? 0) + cases))
  }
  const out: string[] = ["", "Cases beside each rule (used), test (done) and fault (confirmed):"]
  for (const [file, text] of sources) {
    const lines = counts.get(file)
    if (!lines) continue
    const width = Math.max(5, ...[...lines.values()].map((n) => grouped(n).length))
    out.push("", paint.bold(file))
    text
      .replace(/\r?\n$/, "")
      .split(/\r?\n/)
      .forEach((source, i) => {
        const times = lines.get(i + 1)
        const gutter = (times === undefined ? "" : grouped(times)).padStart(width)
        const line = `${gutter} | ${source}`
        out.push(times === undefined ? paint.dim(line) : times === 0 ? paint.bad(line) : plain(line))
      })
  }
  return `${out.join("\n")}\n`
}
